package cases

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"path"

	"conoid/sim/fact"
)

// Handout is an assignment with its cases in one file, as a class is given it.
type Handout struct {
	ID string // of what is in it, for logs: the same for the same files
	*Assignment
	Enclosed []Enclosed // in the order of the assignment

	text string
}

// Enclosed is a case that a handout has in it.
type Enclosed struct {
	Name string `json:"name"` // the file's name, without its folders
	Text string `json:"text"` // the case file, sealed or not
}

// Sealed reports whether it is to be opened first.
func (e Enclosed) Sealed() bool { return IsSealed([]byte(e.Text)) }

// HandoutEnding is the ending of the name of a handout.
const HandoutEnding = ".conoid-assignment"

const (
	handoutVersion = 1
	mostHandout    = 4 << 20 // bytes; two hundred long cases have half of it
)

// handoutFile is a handout as it is written: an object of JSON.
type handoutFile struct {
	Conoid     int        `json:"conoid-handout"`
	Assignment string     `json:"assignment"` // its file
	Cases      []Enclosed `json:"cases"`
}

// Pack makes a handout of the file of an assignment; load gives the case file, sealed or
// not, of each case that is not of the library. What is wrong with any of them is told
// all together.
func Pack(name string, data []byte, load func(Listed) ([]byte, error)) (*Handout, error) {
	a, err := ReadAssignment(name, data)
	if err != nil {
		return nil, err
	}
	return enclose(name, a, string(data), func(i int) ([]byte, error) {
		if l := a.Cases[i]; !l.InLibrary() {
			return load(l)
		}
		return library.ReadFile("library/" + a.Cases[i].File + ".toml")
	})
}

// enclose makes a handout of an assignment and its cases, which are checked.
func enclose(name string, a *Assignment, text string, load func(i int) ([]byte, error)) (*Handout, error) {
	h := &Handout{Assignment: a, text: text}
	var bad []error
	for i, l := range a.Cases {
		data, err := load(i)
		if err == nil {
			err = checkEnclosed(l.base(), data)
		}
		if err != nil {
			bad = append(bad, fact.Because(err, "case.within", "file", name, "line", fact.Count(l.Line), "column", fact.Count(l.Column)))
		}
		h.Enclosed = append(h.Enclosed, Enclosed{l.base(), string(data)})
	}
	if err := errors.Join(bad...); err != nil {
		return nil, err
	}
	h.ID = h.id()
	return h, nil
}

// base is the name of a case's file without its folders.
func (l Listed) base() string {
	if l.InLibrary() {
		return l.File + ".toml"
	}
	return path.Base(l.File)
}

// Readable are the cases as far as anybody can read them: nil for those that are sealed.
func (h *Handout) Readable() []*Case {
	out := make([]*Case, len(h.Enclosed))
	for i, e := range h.Enclosed {
		if !e.Sealed() {
			out[i], _ = Read(e.Name, []byte(e.Text)) // checked when it was enclosed
		}
	}
	return out
}

func checkEnclosed(name string, data []byte) error {
	if IsSealed(data) {
		_, err := ReadSealed(name, data)
		return err
	}
	_, err := Read(name, data)
	return err
}

// id is the first half of the SHA-256 of all that is in it.
func (h *Handout) id() string {
	sum := sha256.Sum256(h.Write())
	return hex.EncodeToString(sum[:16])
}

// Write writes a handout: ReadHandout gives the same back.
func (h *Handout) Write() []byte {
	out, err := json.MarshalIndent(handoutFile{handoutVersion, h.text, h.Enclosed}, "", " ")
	if err != nil {
		panic("cases: " + err.Error()) // texts alone
	}
	return append(out, '\n')
}

// IsHandout reports whether a file begins as a handout does.
func IsHandout(data []byte) bool {
	return bytes.HasPrefix(bytes.TrimLeft(data, " \t\r\n{\ufeff"), []byte(`"conoid-handout"`))
}

// ReadHandout reads one; name is the file's name for messages.
func ReadHandout(name string, data []byte) (*Handout, error) {
	if len(data) > mostHandout {
		return nil, tooLarge(name, len(data), mostHandout)
	}
	var f handoutFile
	d := json.NewDecoder(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff"))))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil || !IsHandout(data) {
		return nil, fact.Refuse("handout.damaged", "file", name)
	}
	if f.Conoid != handoutVersion {
		return nil, fact.Refuse("handout.version", "file", name, "version", fact.Count(f.Conoid), "reads", fact.Count(handoutVersion))
	}
	a, err := ReadAssignment(name, []byte(f.Assignment))
	if err != nil {
		return nil, err
	}
	if len(a.Cases) != len(f.Cases) {
		return nil, fact.Refuse("handout.damaged", "file", name)
	}
	return enclose(name, a, f.Assignment, func(i int) ([]byte, error) {
		if f.Cases[i].Name != a.Cases[i].base() {
			return nil, fact.Refuse("handout.damaged", "file", name)
		}
		return []byte(f.Cases[i].Text), nil
	})
}
