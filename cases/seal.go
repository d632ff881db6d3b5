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

// ErrWrongKey says that a key or a passphrase does not open a sealed case. The
// file may also have been changed in just the part that tells the two apart.
var ErrWrongKey = errors.New("this key or passphrase does not open it")

// ErrChanged says that a sealed case is not as it was when it was sealed.
var ErrChanged = errors.New("it was changed or cut off since it was sealed")

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

// IsSealed tells whether a file begins as a sealed case does.
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
		return nil, fmt.Errorf("%s: the sealed case would have %d bytes; allowed are %d: seal it for fewer recipients", name, len(out), maxSealed)
	}
	return out, nil
}

// ReadSealed reads what can be read without a key. The error is a *Malformed,
// or an *Unsupported for a file of a newer version.
func ReadSealed(name string, data []byte) (*Sealed, error) {
	s := &Sealed{name: name}
	wrong := func(line, column int, format string, a ...any) (*Sealed, error) {
		return nil, &Malformed{name, []Mistake{{line, column, fmt.Sprintf(format, a...)}}}
	}
	if len(data) > maxSealed {
		return wrong(1, 1, "the file has %d bytes; allowed are %d", len(data), maxSealed)
	}
	lines := strings.SplitN(string(data), "\n", 5)
	version, err := strconv.Atoi(strings.TrimPrefix(lines[0], sealMark))
	switch {
	case !IsSealed(data) || err != nil || version < 1:
		return wrong(1, 1, "this is not a sealed case, whose first line is %q", sealMark+strconv.Itoa(sealVersion))
	case version > sealVersion:
		return nil, &Unsupported{name, Mistake{1, 1 + len(sealMark), fmt.Sprintf("the file is of version %d; this program opens version %d", version, sealVersion)}}
	case len(lines) < 5:
		return wrong(len(lines), 1, "the file is cut off")
	case !strings.HasPrefix(lines[1], titleMark):
		return wrong(2, 1, "the title is missing; the line begins with %q", titleMark)
	}
	s.Title = strings.TrimPrefix(lines[1], titleMark)
	s.Level, err = strconv.Atoi(strings.TrimPrefix(lines[2], levelMark))
	if err != nil || s.Level < 1 || s.Level > Levels {
		return wrong(3, 1, "the level is missing; the line is %q and a number from 1 to %d", levelMark, Levels)
	}
	s.head = head(s.Title, s.Level)
	if !bytes.HasPrefix(data, s.head) {
		return wrong(4, 1, "an empty line is missing, or something was added to the lines before it")
	}
	if s.secret, err = unarmored(data[len(s.head):]); err != nil {
		return wrong(5, 1, "the sealed part is damaged: %v", ErrChanged)
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
		return nil, fmt.Errorf("%s: %w", s.name, err)
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
