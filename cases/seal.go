package cases

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"conoid/sim/fact"
)

// SealedEnding is the ending of the name of a sealed case.
const SealedEnding = ".conoid-case"

// maxSealed is the largest sealed case, in bytes: a case of the largest size
// twice, and a thousand recipients.
const maxSealed = 1 << 19

// Unopened is why something sealed does not open.
type Unopened string

const (
	// ErrWrongKey says that a key or a passphrase does not open it.
	ErrWrongKey Unopened = "wrong-key"
	// ErrChanged says that it is not as it was when it was sealed.
	ErrChanged Unopened = "changed"
)

// Error is for programmers.
func (u Unopened) Error() string { return u.Tell().String() }

// Tell is the reason as a fact.
func (u Unopened) Tell() fact.Fact { return fact.New("seal." + string(u)) }

// The sealed file is a head that anybody can read, an empty line, two armored
// age files (age-encryption.org/v1) and a line with the SHA-256 of all before
// it. The first age file is for those who sit the case: the SHA-256 of the head,
// so that the head cannot be exchanged, and the case without its comments and
// without what is said to tutors alone, its aims and notes. The
// second is for authors alone: the SHA-256 of the head and of the first, so that
// an author knows what is sat, and the case file as it was sealed.
//
// The last line tells a damaged file from a wrong passphrase: of a stanza of
// scrypt alone, age cannot say which of the two it met.
const (
	sealVersion  = 2
	sealMark     = "Conoid sealed case, version "
	titleMark    = "Title: "
	levelMark    = "Level: "
	checksumMark = "SHA-256: "
)

func head(title string, level int) []byte {
	return fmt.Appendf(nil, "%s%d\n%s%s\n%s%d\n\n", sealMark, sealVersion, titleMark, title, levelMark, level)
}

func sum(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

// checked is a file with its last line.
func checked(b []byte) []byte { return fmt.Appendf(b, "%s%s\n", checksumMark, sum(b)) }

// IsSealed reports whether a file begins as a sealed case does.
func IsSealed(data []byte) bool { return bytes.HasPrefix(data, []byte(sealMark)) }

// Seal seals a case file for those who may sit it, and for authors, who may do
// all. Name is the file's name for messages; a case file with mistakes is refused
// with the error of Read.
func Seal(name string, data []byte, sitters, authors Lock) ([]byte, error) {
	c, err := Read(name, data)
	if err != nil {
		return nil, err
	}
	plain := Write(c.ForSitters())
	if len(plain) > maxSize {
		return nil, tooLarge(name, len(plain), maxSize)
	}
	out := head(c.Title, c.Level)
	for _, part := range []struct {
		lock Lock
		text []byte
	}{{sitters, plain}, {authors, data}} {
		secret, err := part.lock.Seal(fmt.Appendf(nil, "%s\n%s", sum(out), part.text))
		if err != nil {
			return nil, err
		}
		out = append(out, secret...)
	}
	out = checked(out)
	if len(out) > maxSealed {
		return nil, fact.Refuse("seal.too-large", "file", name, "size", fact.Count(len(out)), "most", fact.Count(maxSealed))
	}
	return out, nil
}
