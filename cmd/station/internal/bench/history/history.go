// Package history is what the user has reached so far, for the user's own eyes.
package history

import (
	"bufio"
	"bytes"
	"encoding/json"
	"slices"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/expect"
	"conoid/scoring"
)

// Reached is one finished sitting.
type Reached struct {
	Log      string             `json:"log"` // name of the sitting in the store
	ID       string             `json:"id"`
	Title    string             `json:"title"`
	Case     string             `json:"case"` // hash
	Level    int                `json:"level"`
	When     time.Time          `json:"when"`
	Left     float64            `json:"left"` // defocus equivalent of the residual, dioptres
	Band     scoring.Band       `json:"band"`
	Steps    int                `json:"steps"`
	Clock    time.Duration      `json:"clock"`
	Hints    int                `json:"hints"`
	Opened   int                `json:"opened,omitempty"` // how often who works alone looked behind the curtain
	Points   *float64           `json:"points,omitempty"` // of 100; nil while they are not worked out
	Expected Expected           `json:"expected,omitzero"`
	Help     chair.Help         `json:"guided,omitempty"`
	Drill    string             `json:"drill,omitempty"`
	Branch   bool               `json:"branch,omitempty"` // begun in the middle of another sitting
	Kinds    []cases.Difficulty `json:"kinds,omitempty"`  // what made the eye hard
}

// Expected is how often the student said first what would come, and was right.
type Expected struct {
	Asked int `json:"asked"`
	Right int `json:"right"`
	Near  int `json:"near"`
}

// Add counts one that was compared with the answer.
func (e *Expected) Add(v expect.Verdict) {
	switch v {
	case expect.Open:
		return
	case expect.Right:
		e.Right++
	case expect.Near:
		e.Near++
	}
	e.Asked++
}

// Whole reports whether it was the whole of a sitting.
func (r Reached) Whole() bool { return r.Drill == "" && !r.Branch }

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

// Parse reads the lines of a history. What is told of a sitting later replaces what was told
// before.
func Parse(data []byte) (out []Reached) {
	lines := bufio.NewScanner(bytes.NewReader(data))
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		var r Reached
		if json.Unmarshal(lines.Bytes(), &r) == nil && r.ID != "" {
			out = with(out, r)
		}
	}
	return out
}

// with is a list with a sitting in it, once.
func with(list []Reached, r Reached) []Reached {
	if i := slices.IndexFunc(list, func(h Reached) bool { return h.Log == r.Log }); i >= 0 {
		list[i] = r
		return list
	}
	return append(list, r)
}

// All is every finished sitting, the first one first.
func (b *Book) All() []Reached { return slices.Clone(b.list) }

// Remember adds a finished sitting, once; what was known before stays.
func (b *Book) Remember(r Reached) error {
	if slices.ContainsFunc(b.list, func(h Reached) bool { return h.Log == r.Log }) {
		return nil
	}
	return b.keep(r)
}

// Marked adds the points that a sitting came to, of 100.
func (b *Book) Marked(log string, points float64) error {
	for _, h := range b.list {
		if h.Log == log && (h.Points == nil || *h.Points != points) {
			h.Points = &points
			return b.keep(h)
		}
	}
	return nil
}

func (b *Book) keep(r Reached) error {
	b.list = with(b.list, r)
	data, err := json.Marshal(r)
	if err != nil {
		return err
	}
	return b.store.Append(File, append(data, '\n'))
}

// Best is the best whole sitting with a case so far.
func (b *Book) Best(id string) (best Reached, ok bool) {
	for _, h := range b.list {
		if h.ID == id && h.Whole() && (!ok || h.Left < best.Left) {
			best, ok = h, true
		}
	}
	return best, ok
}

// Forget forgets everything; what is in the store stays there.
func (b *Book) Forget() { b.list = nil }
