package cases

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"filippo.io/age/armor"

	"conoid/sim/fact"
)

// SealedEnding is the ending of the name of a sealed case.
const SealedEnding = ".conoid-case"

// maxSealed is the largest sealed case, in bytes: a case of the largest size,
// and a thousand recipients.
const maxSealed = 1 << 18

// Sealed is what anybody can read of a sealed case. It tells nothing of the
// eyes.
type Sealed struct {
	Title      string
	Level      int
	Passphrase bool // a passphrase opens it, and no key file

	name   string
	head   []byte // the readable part, as it stands
	secret []byte // the part that is encrypted
}

// Unopened is why something sealed does not open.
type Unopened string

const (
	// ErrWrongKey says that a key or a passphrase does not open it. The file may
	// also have been changed in just the part that tells the two apart.
	ErrWrongKey Unopened = "wrong-key"
	// ErrChanged says that it is not as it was when it was sealed.
	ErrChanged Unopened = "changed"
)

// Error is for programmers.
func (u Unopened) Error() string { return u.Tell().String() }

// Tell is the reason as a fact.
func (u Unopened) Tell() fact.Fact { return fact.New("seal." + string(u)) }

// The sealed file is a head that anybody can read, an empty line, and the case
// file as an armored age file (age-encryption.org/v1). Inside, before the case
// file, is the SHA-256 of the head, so that the head cannot be exchanged.
const (
	sealVersion = 1
	sealMark    = "Conoid sealed case, version "
	titleMark   = "Title: "
	levelMark   = "Level: "
)

func head(title string, level int) []byte {
	return fmt.Appendf(nil, "%s%d\n%s%s\n%s%d\n\n", sealMark, sealVersion, titleMark, title, levelMark, level)
}

func sum(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}

// IsSealed reports whether a file begins as a sealed case does.
func IsSealed(data []byte) bool { return bytes.HasPrefix(data, []byte(sealMark)) }

// Seal seals a case file. Name is the file's name for messages; a case file
// with mistakes is refused with the error of Read.
func Seal(name string, data []byte, l Lock) ([]byte, error) {
	c, err := Read(name, data)
	if err != nil {
		return nil, err
	}
	h := head(c.Title, c.Level)
	secret, err := l.Seal(fmt.Appendf(nil, "%s\n%s", sum(h), data))
	if err != nil {
		return nil, err
	}
	out := append(h, secret...)
	if len(out) > maxSealed {
		return nil, fact.Refuse("seal.too-large", "file", name, "size", fact.Count(len(out)), "most", fact.Count(maxSealed))
	}
	return out, nil
}

// ReadSealed reads what can be read without a key. The error is a *Malformed,
// or an *Unsupported for a file of another version.
func ReadSealed(name string, data []byte) (*Sealed, error) {
	s := &Sealed{name: name}
	wrong := func(line int, what fact.Fact) (*Sealed, error) {
		return nil, &Malformed{name, []Mistake{{line, 1, what}}}
	}
	if len(data) > maxSealed {
		return nil, tooLarge(name, len(data), maxSealed)
	}
	lines := strings.SplitN(string(data), "\n", 5)
	version, err := strconv.Atoi(strings.TrimPrefix(lines[0], sealMark))
	switch {
	case !IsSealed(data) || err != nil:
		return wrong(1, fact.New("seal.no-case", "first", quoted([]string{sealMark + strconv.Itoa(sealVersion)})))
	case version != sealVersion:
		what := fact.New("case.version", "version", strconv.Itoa(version), "reads", fact.Count(sealVersion))
		return nil, &Unsupported{name, Mistake{1, 1 + len(sealMark), what}}
	case len(lines) < 5:
		return wrong(len(lines), fact.New("seal.cut-off"))
	case !strings.HasPrefix(lines[1], titleMark):
		return wrong(2, fact.New("seal.no-title", "begins", quoted([]string{titleMark})))
	}
	s.Title = strings.TrimPrefix(lines[1], titleMark)
	s.Level, err = strconv.Atoi(strings.TrimPrefix(lines[2], levelMark))
	if err != nil || s.Level < 1 || s.Level > Levels {
		return wrong(3, fact.New("seal.no-level", "begins", quoted([]string{levelMark}), "most", fact.Count(Levels)))
	}
	s.head = head(s.Title, s.Level)
	if !bytes.HasPrefix(data, s.head) {
		return wrong(4, fact.New("seal.no-empty-line"))
	}
	if s.secret, err = unarmored(data[len(s.head):]); err != nil {
		return wrong(5, fact.New("seal.damaged", "cause", ErrChanged))
	}
	s.Passphrase = bytes.HasPrefix(s.secret, []byte("age-encryption.org/v1\n-> scrypt "))
	return s, nil
}

// unarmored takes the armor off. There is only one way to write a file with its
// armor, so that no byte of it can be changed without a trace.
func unarmored(text []byte) ([]byte, error) {
	raw, err := io.ReadAll(armor.NewReader(bytes.NewReader(text)))
	if err != nil {
		return nil, err
	}
	var again bytes.Buffer
	w := armor.NewWriter(&again)
	_, err = w.Write(raw)
	if err := errors.Join(err, w.Close()); err != nil {
		return nil, err
	}
	if !bytes.Equal(again.Bytes(), text) {
		return nil, ErrChanged
	}
	return raw, nil
}

// Open opens a sealed case and gives the case file that was sealed. The error is
// ErrWrongKey or ErrChanged, with the file's name.
func (s *Sealed) Open(k Key) ([]byte, error) {
	data, err := s.open(k)
	if err != nil {
		return nil, fact.Because(err, "file.at", "file", s.name)
	}
	return data, nil
}

func (s *Sealed) open(k Key) ([]byte, error) {
	data, err := k.decrypt(s.secret)
	if err != nil {
		return nil, err
	}
	bound, rest, found := bytes.Cut(data, []byte("\n"))
	if !found || string(bound) != sum(s.head) {
		return nil, ErrChanged
	}
	return rest, nil
}

// Open opens a sealed case. Name is the file's name for messages, and gives the
// case its ID. The error is one of ReadSealed, of Sealed.Open or of Read.
func Open(name string, data []byte, k Key) (*Case, error) {
	s, err := ReadSealed(name, data)
	if err != nil {
		return nil, err
	}
	text, err := s.Open(k)
	if err != nil {
		return nil, err
	}
	return Read(name, text)
}
