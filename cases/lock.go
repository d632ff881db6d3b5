package cases

import (
	"strings"
	"unicode/utf8"

	"filippo.io/age"

	"conoid/sim/fact"
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
		return Lock{}, fact.Refuse("seal.nobody")
	}
	return l, nil
}

// notRecipient does not repeat a secret key that was given in the place of a
// public one.
func notRecipient(s string) error {
	if strings.HasPrefix(strings.ToUpper(strings.TrimSpace(s)), secretMark) {
		return fact.Refuse("seal.secret-half")
	}
	return fact.Refuse("seal.no-recipient", "text", shown(s))
}

// LockWith is the lock that a passphrase opens.
func LockWith(passphrase string) (Lock, error) {
	if n := utf8.RuneCountInString(passphrase); n < leastPassphrase {
		return Lock{}, fact.Refuse("seal.short", "n", fact.Count(n), "least", fact.Count(leastPassphrase))
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
		return Key{}, fact.Refuse("seal.empty-passphrase")
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
			bad = append(bad, Mistake{i + 1, 1, fact.New("seal.public-half", "begins", secretMark+"1")})
		default:
			bad = append(bad, Mistake{i + 1, 1, fact.New("seal.no-key", "begins", secretMark+"1")})
		}
		if len(bad) >= 3 {
			break // some other file
		}
	}
	if len(bad) == 0 && len(k.ids) == 0 {
		bad = []Mistake{{1, 1, fact.New("seal.empty-file")}}
	}
	if len(bad) > 0 {
		return Key{}, &Malformed{name, bad}
	}
	return k, nil
}

// NewKeys makes a new pair of keys at random: the secret key, as it stands in a
// line of a key file, and the recipient, which is for everybody.
func NewKeys() (secret, recipient string, err error) {
	id, err := age.GenerateX25519Identity()
	if err != nil {
		return "", "", err
	}
	return id.String(), id.Recipient().String(), nil
}

// KeyFile is the text of a key file, to be kept secret, with what explains it.
func KeyFile(secret, recipient string, words Words) []byte {
	return []byte(comment(words(fact.New("seal.key-file"))) + comment(words(fact.New("seal.recipient", "recipient", recipient))) + secret + "\n")
}
