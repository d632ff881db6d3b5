// Package handed holds what a student hands in: the logs of their sittings for an
// assignment, in one file that can be mailed.
package handed

import (
	"bytes"
	"encoding/json"
	"strings"

	"conoid/sim/fact"
)

// Work is what one student hands in. It has no name in it, but a number.
type Work struct {
	Who        string   `json:"who"`                 // the student's own number
	Assignment string   `json:"assignment"`          // its ID
	Title      string   `json:"title"`               // of the assignment
	Simulated  bool     `json:"simulated,omitempty"` // no person sat it
	Logs       []string `json:"logs"`                // each as it is kept, with its seal line by line
}

// Ending is the ending of the name of such a file.
const Ending = ".conoid-work"

const (
	version = 1
	mark    = `"conoid-work"`
	most    = 16 << 20 // bytes
)

type file struct {
	Conoid int `json:"conoid-work"`
	Work
}

// Write writes it: Read gives the same back.
func (w Work) Write() []byte {
	out, err := json.MarshalIndent(file{version, w}, "", " ")
	if err != nil {
		panic("handed: " + err.Error()) // texts alone
	}
	return append(out, '\n')
}

// Is reports whether a file begins as such a file does.
func Is(data []byte) bool { return bytes.HasPrefix(trimmed(data), []byte(mark)) }

func trimmed(data []byte) []byte { return bytes.TrimLeft(data, " \t\r\n{\ufeff") }

// Read reads one; name is the file's name for messages.
func Read(name string, data []byte) (Work, error) {
	var f file
	d := json.NewDecoder(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff"))))
	d.DisallowUnknownFields()
	switch {
	case len(data) > most:
		return Work{}, fact.Refuse("handed.too-large", "file", name, "most", fact.Count(most>>20))
	case !Is(data) || d.Decode(&f) != nil:
		return Work{}, fact.Refuse("handed.damaged", "file", name)
	case f.Conoid != version:
		return Work{}, fact.Refuse("handed.version", "file", name, "version", fact.Count(f.Conoid), "reads", fact.Count(version))
	}
	return f.Work, nil
}

// CheckWho says what is wrong with a student's own number: it is not to be a name.
func CheckWho(text string) error {
	for _, r := range text {
		if !('0' <= r && r <= '9' || 'A' <= r && r <= 'Z' || 'a' <= r && r <= 'z' || r == '-') {
			return fact.Refuse("handed.who", "text", text)
		}
	}
	if len(text) < 1 || len(text) > 12 || !strings.ContainsAny(text, "0123456789") {
		return fact.Refuse("handed.who", "text", text)
	}
	return nil
}

// Who is the one way to write a student's number: in capitals, without blanks around.
func Who(text string) string { return strings.ToUpper(strings.TrimSpace(text)) }
