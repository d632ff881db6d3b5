package cases

import (
	"bytes"
	"errors"
	"io"
	"strconv"
	"strings"

	"filippo.io/age/armor"

	"conoid/sim/fact"
)

// Sealed is what anybody can read of a sealed case. It tells nothing of the
// eyes.
type Sealed struct {
	Title      string
	Level      int
	Passphrase bool // who sits it has a passphrase, and no key file

	name           string
	bound          [2]string // what each part has to begin with
	sitting, whole []byte    // the parts that are encrypted: for sitters, for authors
}

// ReadSealed reads what can be read without a key. The error is a *Malformed,
// an *Unsupported for a file of another version, or ErrChanged.
func ReadSealed(name string, data []byte) (*Sealed, error) {
	if len(data) > maxSealed {
		return nil, tooLarge(name, len(data), maxSealed)
	}
	s := &Sealed{name: name}
	h, err := s.readHead(data)
	if err != nil {
		return nil, err
	}
	if err := s.readParts(data, h); err != nil {
		return nil, fact.Because(err, "file.at", "file", name)
	}
	return s, nil
}

// readHead reads the head, and gives it as it stands.
func (s *Sealed) readHead(data []byte) ([]byte, error) {
	wrong := func(line int, what fact.Fact) ([]byte, error) {
		return nil, &Malformed{s.name, []Mistake{{line, 1, what}}}
	}
	lines := strings.SplitN(string(data), "\n", 5)
	version, err := strconv.Atoi(strings.TrimPrefix(lines[0], sealMark))
	switch {
	case !IsSealed(data) || err != nil:
		return wrong(1, fact.New("seal.no-case", "first", quoted([]string{sealMark + strconv.Itoa(sealVersion)})))
	case version != sealVersion:
		return nil, &Unsupported{s.name, Mistake{1, 1 + len(sealMark), otherSeal(version)}}
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
	h := head(s.Title, s.Level)
	if !bytes.HasPrefix(data, h) {
		return wrong(4, fact.New("seal.no-empty-line"))
	}
	return h, nil
}

// otherSeal says why a file of another version is not opened. One of the first
// knows no authors: whoever could sit it could have it shown.
func otherSeal(version int) fact.Fact {
	if version == 1 {
		return fact.New("seal.first-version")
	}
	return fact.New("case.version", "version", strconv.Itoa(version), "reads", fact.Count(sealVersion))
}

// readParts takes the parts apart that follow the head h.
func (s *Sealed) readParts(data, h []byte) error {
	body := data[:max(bytes.LastIndex(data, []byte(checksumMark)), 0)]
	if !bytes.Equal(checked(bytes.Clone(body)), data) {
		return ErrChanged
	}
	_, parts, _ := bytes.Cut(body, h)
	end := bytes.Index(parts, []byte(armor.Footer)) + len(armor.Footer) + 1
	if end > len(parts) {
		return ErrChanged
	}
	sitting, err := unarmored(parts[:end])
	whole, wrong := unarmored(parts[end:])
	if err != nil || wrong != nil {
		return ErrChanged
	}
	s.sitting, s.whole = sitting, whole
	s.bound = [2]string{sum(h), sum(body[:len(h)+end])}
	s.Passphrase = bytes.HasPrefix(s.sitting, []byte("age-encryption.org/v1\n-> scrypt "))
	return nil
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

// Open opens a sealed case for a sitting, with the key of a sitter or of an
// author, and gives a case file. The error is ErrWrongKey or ErrChanged, with
// the file's name.
func (s *Sealed) Open(k Key) ([]byte, error) {
	data, err := s.open(k, s.sitting, s.bound[0])
	if errors.Is(err, ErrWrongKey) {
		return s.OpenWhole(k)
	}
	return data, err
}

// OpenWhole opens a sealed case with the key of an author, and gives the case
// file that was sealed, to the last comment. The errors are those of Open.
func (s *Sealed) OpenWhole(k Key) ([]byte, error) { return s.open(k, s.whole, s.bound[1]) }

func (s *Sealed) open(k Key, part []byte, bound string) ([]byte, error) {
	data, err := k.decrypt(part)
	if err == nil {
		begins, rest, found := bytes.Cut(data, []byte("\n"))
		if found && string(begins) == bound {
			return rest, nil
		}
		err = ErrChanged
	}
	return nil, fact.Because(err, "file.at", "file", s.name)
}

// Open opens a sealed case for a sitting. Name is the file's name for messages,
// and gives the case its ID. The error is one of ReadSealed, of Sealed.Open or
// of Read.
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
