// Package history is what the user has reached so far, for the user's own eyes.
package history

import (
	"bufio"
	"bytes"
	"encoding/json"
	"slices"
	"time"

	"conoid/cases"
	"conoid/scoring"
)

// Reached is one finished sitting.
type Reached struct {
	Log    string             `json:"log"` // name of the sitting in the store
	ID     string             `json:"id"`
	Title  string             `json:"title"`
	Case   string             `json:"case"` // hash
	Level  int                `json:"level"`
	When   time.Time          `json:"when"`
	Left   float64            `json:"left"` // defocus equivalent of the residual, dioptres
	Band   scoring.Band       `json:"band"`
	Steps  int                `json:"steps"`
	Clock  time.Duration      `json:"clock"`
	Hints  int                `json:"hints"`
	Guided bool               `json:"guided,omitempty"`
	Drill  string             `json:"drill,omitempty"`
	Branch bool               `json:"branch,omitempty"` // begun in the middle of another sitting
	Kinds  []cases.Difficulty `json:"kinds,omitempty"`  // what made the eye hard
}

// whole reports whether it was the whole of a sitting.
func (r Reached) whole() bool { return r.Drill == "" && !r.Branch }

// File is the name that the history is kept under.
const File = "history.jsonl"

// Store is what the history is kept in.
type Store interface {
	Read(name string) ([]byte, error)
	Append(name string, data []byte) error
}

// Book is the finished sittings in their order.
type Book struct {
	store Store
	list  []Reached
}

// Open reads what can be read; a torn line is left out.
func Open(store Store) *Book {
	b := &Book{store: store}
	if data, err := store.Read(File); err == nil {
		b.list = Parse(data)
	}
	return b
}

// Parse reads the lines of a history.
func Parse(data []byte) (out []Reached) {
	lines := bufio.NewScanner(bytes.NewReader(data))
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		var r Reached
		if json.Unmarshal(lines.Bytes(), &r) == nil && r.ID != "" {
			out = append(out, r)
		}
	}
	return out
}

// All is every finished sitting, the first one first.
func (b *Book) All() []Reached { return slices.Clone(b.list) }

// Remember adds a finished sitting, once.
func (b *Book) Remember(r Reached) error {
	for _, h := range b.list {
		if h.Log == r.Log {
			return nil
		}
	}
	b.list = append(b.list, r)
	data, err := json.Marshal(r)
	if err != nil {
		return err
	}
	return b.store.Append(File, append(data, '\n'))
}

// Best is the best whole sitting with a case so far.
func (b *Book) Best(id string) (best Reached, ok bool) {
	for _, h := range b.list {
		if h.ID == id && h.whole() && (!ok || h.Left < best.Left) {
			best, ok = h, true
		}
	}
	return best, ok
}

// Forget forgets everything; what is in the store stays there.
func (b *Book) Forget() { b.list = nil }
