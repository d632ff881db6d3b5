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

// ReadRecipients reads a list of recipients: one a line; empty lines and lines
// that begin with # are left out. The error is a *Malformed with every bad line;
// of a file without one recipient no more is said than that it is another one.
func ReadRecipients(name string, data []byte) (recipients []string, err error) {
	var bad []Mistake
	for i, line := range strings.Split(string(data), "\n") {
		line = strings.TrimSpace(strings.TrimPrefix(line, "\ufeff"))
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		if _, err := age.ParseX25519Recipient(line); err != nil {
			bad = append(bad, Mistake{i + 1, 1, notRecipient(line)})
			continue
		}
		recipients = append(recipients, line)
	}
	switch {
	case len(recipients) == 0 && len(bad) > 3:
		bad = bad[:3]
	case len(recipients) == 0 && len(bad) == 0:
		bad = []Mistake{{1, 1, fact.New("seal.nobody")}}
	}
	if len(bad) > 0 {
		return nil, &Malformed{name, bad}
	}
	return recipients, nil
}

// LockFor is the lock that the keys of any of these recipients open.
func LockFor(recipients ...string) (Lock, error) {
	var l Lock
	named := map[string]bool{}
	for _, s := range recipients {
		s = strings.TrimSpace(s)
		if named[s] {
			continue
		}
		named[s] = true
		r, err := age.ParseX25519Recipient(s)
		if err != nil {
			return Lock{}, &fact.Error{Fact: notRecipient(s)}
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
func notRecipient(s string) fact.Fact {
	if IsKey(s) {
		return fact.New("seal.secret-half")
	}
	return fact.New("seal.no-recipient", "text", shown(s))
}

// LockWith is the lock that a passphrase opens. White space around it does not
// count, since nobody sees it in a mail or while typing.
func LockWith(passphrase string) (Lock, error) {
	passphrase = strings.TrimSpace(passphrase)
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

// KeyOf is the key that a passphrase makes; white space around it does not count.
func KeyOf(passphrase string) (Key, error) {
	id, err := age.NewScryptIdentity(strings.TrimSpace(passphrase))
	if err != nil {
		return Key{}, fact.Refuse("seal.empty-passphrase")
	}
	id.SetMaxWorkFactor(workFactor) // a file must not ask for more time and memory than ours do
	return Key{[]age.Identity{id}}, nil
}

// secretMark is how the secret half of a key begins.
const secretMark = "AGE-SECRET-KEY-"

// IsKey reports whether a text is meant for a secret key.
func IsKey(text string) bool {
	return strings.HasPrefix(strings.ToUpper(strings.TrimSpace(text)), secretMark)
}

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

// Recipients are those whose sealed cases the keys of a file open; a passphrase
// has none.
func (k Key) Recipients() (out []string) {
	for _, id := range k.ids {
		if id, ok := id.(*age.X25519Identity); ok {
			out = append(out, id.Recipient().String())
		}
	}
	return out
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
	return keyFile("seal.key-file", secret, recipient, words)
}

// AuthorFile is KeyFile for the key of an author.
func AuthorFile(secret, recipient string, words Words) []byte {
	return keyFile("seal.author-file", secret, recipient, words)
}

func keyFile(about, secret, recipient string, words Words) []byte {
	return []byte(comment(words(fact.New(about))) + comment(words(fact.New("seal.recipient", "recipient", recipient))) + secret + "\n")
}
