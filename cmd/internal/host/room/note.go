package room

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"maps"
	"slices"
	"sync"
	"time"

	"conoid/cmd/internal/host/store"
	"conoid/sim/fact"
)

// Deed is what somebody of the staff did.
type Deed string

// The deeds.
const (
	Made     Deed = "made"     // the practical
	Ticketed Deed = "ticketed" // a ticket was given out; it ended the one before, and the session
	Admitted Deed = "admitted" // a candidate was let in
	Opened   Deed = "opened"   // the practical
	Halted   Deed = "halted"   // the time, for everybody
	Resumed  Deed = "resumed"
	Shut     Deed = "shut"     // the practical
	Granted  Deed = "granted"  // more time, to a candidate
	Ended    Deed = "ended"    // a candidate's place
	Marked   Deed = "marked"   // what the class comes to was worked out
	Asked    Deed = "asked"    // for a deed that takes two people
	Declined Deed = "declined" // what was asked for
	Released Deed = "released" // the marks
	Voided   Deed = "voided"   // the result of a candidate
	Erased   Deed = "erased"   // what was kept of a candidate
)

// Note is a line of what was done to a practical, and why.
type Note struct {
	N         int               `json:"n"`
	At        time.Time         `json:"at"`
	Who       string            `json:"who,omitempty"` // of the staff; empty: the service
	Do        Deed              `json:"do"`
	Candidate string            `json:"candidate,omitempty"`
	Reason    string            `json:"reason,omitempty"`
	Time      time.Duration     `json:"time,omitempty"` // that was granted
	Asks      Deed              `json:"asks,omitempty"` // the deed that was asked for
	For       int               `json:"for,omitempty"`  // the note of the request that this one answers
	Sum       string            `json:"sum,omitempty"`  // SHA-256 of the papers that it is about
	Gone      map[string]string `json:"gone,omitempty"` // SHA-256 of what was erased
	Before    string            `json:"before"`         // SHA-256 of the line before; empty for the first
}

// book is what was done to a practical, line by line, and what follows from it.
type book struct {
	store     store.Store
	practical string // its ID

	known bool   // else lines are to be read: at first, and where one may or may not have been kept
	n     int    // how many there are
	last  string // SHA-256 of the last one; empty when there is none

	mu    sync.Mutex        // of what follows
	sum   string            // of the papers of the marks; "" while there are none
	asked []Note            // requests that nobody has answered
	void  map[string]string // why the results of candidates are void
}

// note keeps a line of what was done.
func (b *book) note(n Note, at time.Time) error {
	if !b.known {
		if err := b.read(); err != nil {
			return err
		}
	}
	n.N, n.At, n.Before = b.n+1, at.Round(0), b.last
	text, err := json.Marshal(n)
	if err != nil {
		return err
	}
	if err := b.store.Note(b.practical, n.N, text); err != nil {
		b.known = false
		return err
	}
	b.goesOn(n, text)
	return nil
}

// goesOn takes in a line that is kept.
func (b *book) goesOn(n Note, text []byte) {
	sum := sha256.Sum256(text)
	b.n, b.last = n.N, hex.EncodeToString(sum[:])
	b.took(n)
}

// took takes in what a line says that was kept.
func (b *book) took(n Note) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch n.Do {
	case Marked:
		b.sum = n.Sum
	case Asked:
		b.asked = append(b.asked, n)
	case Declined, Released, Voided:
		b.asked = slices.DeleteFunc(b.asked, func(o Note) bool { return o.N == n.For })
	case Erased:
		b.sum = "" // the marks have to be worked out without it
	}
	if n.Do == Voided {
		if b.void == nil {
			b.void = map[string]string{}
		}
		b.void[n.Candidate] = cmp.Or(n.Reason, "-")
		b.sum = "" // likewise
	}
}

// read takes in the lines that are kept after those that are known.
func (b *book) read() error {
	lines, err := b.store.Notes(b.practical)
	if err != nil {
		return err
	}
	for _, text := range lines[b.n:] {
		var n Note
		if err := json.Unmarshal(text, &n); err != nil {
			return err
		}
		b.goesOn(n, text)
	}
	b.known = true
	return nil
}

// marks is the sum of the papers of the marks; "" while there are none.
func (b *book) marks() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.sum
}

// voids are why the results of candidates are void.
func (b *book) voids() map[string]string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return maps.Clone(b.void)
}

// requests are those that nobody has answered yet.
func (b *book) requests() []Note {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.asked)
}

// request is the one in note n that nobody has answered.
func (b *book) request(n int) (Note, error) {
	all := b.requests()
	i := slices.IndexFunc(all, func(o Note) bool { return o.N == n })
	if i < 0 {
		return Note{}, ErrNoAsk
	}
	return all[i], nil
}

// papers are those of the marks, and ErrUnmarked where they are not what the lines tell
// of.
func (b *book) papers() (map[string][]byte, error) {
	papers, err := b.store.Papers(b.practical)
	if err == nil && sumOf(papers) != b.marks() {
		err = ErrUnmarked
	}
	return papers, err
}

// ReadNotes reads lines of notes. The error says at which one the chain breaks: it is not
// the one after the line before it.
func ReadNotes(lines [][]byte) (all []Note, err error) {
	before := ""
	for i, text := range lines {
		var n Note
		if err := json.Unmarshal(text, &n); err != nil || n.N != i+1 || n.Before != before {
			return all, fact.Refuse("host.chain", "n", fact.Count(i+1))
		}
		sum := sha256.Sum256(text)
		before = hex.EncodeToString(sum[:])
		all = append(all, n)
	}
	return all, nil
}
