package cases

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"filippo.io/age"
)

// Lock is what a case is sealed with: the recipients who can open it, or a
// passphrase.
type Lock struct{ to []age.Recipient }

// Key opens what was sealed for it.
type Key struct{ ids []age.Identity }

// workFactor is the base-2 logarithm of the rounds of scrypt (RFC 7914) that
// make a key of a passphrase. 16 takes 64 MiB, and on one thread of WebAssembly
// about a second; the next one takes twice both, which is more than a browser
// on a small machine should be asked for.
const workFactor = 16

// leastPassphrase is the least number of characters of a passphrase to seal
// with. The project's choice: a shorter one is soon guessed, whatever the work.
const leastPassphrase = 8

// LockFor is the lock that the keys of any of these recipients open.
func LockFor(recipients ...string) (Lock, error) {
	var l Lock
	for _, s := range recipients {
		r, err := age.ParseX25519Recipient(strings.TrimSpace(s))
		if err != nil {
			return Lock{}, notRecipient(s)
		}
		l.to = append(l.to, r)
	}
	if len(l.to) == 0 {
		return Lock{}, errors.New("there is nobody to seal for: name a recipient")
	}
	return l, nil
}

// notRecipient does not repeat a secret key that was given in the place of a
// public one.
func notRecipient(s string) error {
	if strings.HasPrefix(strings.ToUpper(strings.TrimSpace(s)), secretMark) {
		return errors.New("this is the secret half of a key, which nobody else should see: seal for its recipient, which begins with age1")
	}
	return fmt.Errorf("%s is not a recipient: a recipient begins with age1, and conoid case keys makes one", shown(s))
}

// LockWith is the lock that a passphrase opens.
func LockWith(passphrase string) (Lock, error) {
	if n := utf8.RuneCountInString(passphrase); n < leastPassphrase {
		return Lock{}, fmt.Errorf("the passphrase has %d characters; %d or more are needed, and several words are better", n, leastPassphrase)
	}
	return scryptLock(passphrase, workFactor)
}

func scryptLock(passphrase string, factor int) (Lock, error) {
	r, err := age.NewScryptRecipient(passphrase)
	if err != nil {
		return Lock{}, err
	}
	r.SetWorkFactor(factor)
	return Lock{[]age.Recipient{r}}, nil
}

// KeyOf is the key that a passphrase makes.
func KeyOf(passphrase string) (Key, error) {
	id, err := age.NewScryptIdentity(passphrase)
	if err != nil {
		return Key{}, errors.New("the passphrase is empty")
	}
	id.SetMaxWorkFactor(workFactor) // a file must not ask for more time and memory than ours do
	return Key{[]age.Identity{id}}, nil
}

// secretMark is how the secret half of a key begins.
const secretMark = "AGE-SECRET-KEY-"

// ReadKeys reads a key file: one secret key a line; empty lines and lines that
// begin with # are left out. The error is a *Malformed, and repeats no key.
func ReadKeys(name string, data []byte) (Key, error) {
	var k Key
	var bad []Mistake
	for i, line := range strings.Split(string(data), "\n") {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		id, err := age.ParseX25519Identity(line)
		switch {
		case err == nil:
			k.ids = append(k.ids, id)
		case strings.HasPrefix(line, "age1"):
			bad = append(bad, Mistake{i + 1, 1, "this is a recipient, the public half, with which nothing can be opened; a key begins with " + secretMark + "1"})
		default:
			bad = append(bad, Mistake{i + 1, 1, "this is no key, or one that was changed; a key begins with " + secretMark + "1"})
		}
		if len(bad) >= 3 {
			break // some other file
		}
	}
	if len(bad) == 0 && len(k.ids) == 0 {
		bad = []Mistake{{1, 1, "there is no key in the file; conoid case keys makes one"}}
	}
	if len(bad) > 0 {
		return Key{}, &Malformed{name, bad}
	}
	return k, nil
}

// NewKeys makes a new pair of keys at random: the text of a key file, which is
// to be kept secret, and the recipient, which is for everybody.
func NewKeys() (file []byte, recipient string, err error) {
	id, err := age.GenerateX25519Identity()
	if err != nil {
		return nil, "", err
	}
	recipient = id.Recipient().String()
	file = fmt.Appendf(nil, "# This key opens the cases that are sealed for its recipient. Keep it to yourself.\n# Recipient: %s\n%s\n", recipient, id)
	return file, recipient, nil
}
