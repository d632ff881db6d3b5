package room

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"maps"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"conoid/cmd/internal/host/store"
	"conoid/scoring/practical"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

// Deed is what somebody of the staff did.
type Deed string

// The deeds.
const (
	Made       Deed = "made"     // the practical
	Ticketed   Deed = "ticketed" // a ticket was given out; it ended the one before, and the session
	Admitted   Deed = "admitted" // a candidate was let in
	Opened     Deed = "opened"   // the practical
	Halted     Deed = "halted"   // the time, for everybody
	Resumed    Deed = "resumed"
	Started    Deed = "started"    // the service, while the practical was open
	Shut       Deed = "shut"       // the practical
	Granted    Deed = "granted"    // more time, to a candidate
	Ended      Deed = "ended"      // a candidate's place
	Paused     Deed = "paused"     // the time of a candidate
	WentOn     Deed = "went-on"    // a candidate whose time stood still
	Renumbered Deed = "renumbered" // a candidate who had a wrong number
	Exchanged  Deed = "exchanged"  // the numbers of two candidates who had one another's
	Marked     Deed = "marked"     // what the class comes to was worked out
	Asked      Deed = "asked"      // for a deed that takes two people
	Declined   Deed = "declined"   // what was asked for
	Released   Deed = "released"   // the marks
	Voided     Deed = "voided"     // the result of a candidate
	Erasable   Deed = "erasable"   // a candidate, before the release
	Erased     Deed = "erased"     // what was kept of a candidate
	Copied     Deed = "copied"     // the code on paper of a candidate; without one, taken back
	Decided    Deed = "decided"    // other points for a case of a candidate
	Withdrawn  Deed = "withdrawn"  // a case, which counts for nobody any more
	Restored   Deed = "restored"   // a case that was withdrawn
	Rated      Deed = "rated"      // a work, by who did not see whose it is
)

// Note is a line of what was done to a practical, and why.
type Note struct {
	N         int               `json:"n"`
	At        time.Time         `json:"at"`
	Who       string            `json:"who,omitempty"` // of the staff; empty: the service
	Do        Deed              `json:"do"`
	Candidate string            `json:"candidate,omitempty"`
	To        string            `json:"to,omitempty"` // the right number of a candidate
	Reason    string            `json:"reason,omitempty"`
	Time      time.Duration     `json:"time,omitempty"` // that was granted
	Heard     time.Time         `json:"heard,omitzero"` // Started: the last sign of life before; the zero value: not known
	Opens     time.Time         `json:"opens,omitzero"` // Made: before then it takes two people to open it
	Asks      Deed              `json:"asks,omitempty"` // the deed that was asked for
	For       int               `json:"for,omitempty"`  // the note of the request that this one answers
	Sum       string            `json:"sum,omitempty"`  // SHA-256 of the papers that it is about
	Gone      map[string]string `json:"gone,omitempty"` // SHA-256 of what was erased
	Code      string            `json:"code,omitempty"` // on paper
	Case      int               `json:"case,omitempty"` // that is decided about, from 1 in the order of the plan
	Points    *float64          `json:"points,omitempty"`
	Just      *float64          `json:"just,omitempty"`   // the rating that just passes, of the marks
	Signed    string            `json:"signed,omitempty"` // the line of a decision or a rating, as conoid practical writes it
	Before    string            `json:"before"`           // SHA-256 of the line before; empty for the first
}

// book is what was done to a practical, line by line, and what follows from it.
type book struct {
	store     store.Store
	practical string // its ID

	known bool   // else lines are to be read: at first, and where one may or may not have been kept
	n     int    // how many there are
	last  string // SHA-256 of the last one; empty when there is none

	unsure atomic.Pointer[unsure] // nobody can do anything until it is found out; nil for none

	mu     sync.Mutex        // of what follows
	broken error             // see Broken
	latest time.Time         // when the last line was written
	made   time.Time         // when the practical was
	opens  time.Time         // before then it takes two people; the zero value: never
	sum    string            // of the papers of the marks; "" while there are none
	marked time.Time         // when they were last worked out; the zero value: never
	since  []Note            // what was done after that, and is not in them
	asked  []Note            // requests that nobody has answered
	void   map[string]string // why the results of candidates are void
	why    string            // the time was halted last
	may    map[string]bool   // whether a candidate may be erased before the release

	slips   class.Slips        // the codes on paper
	signed  ledgers            // the files of decisions and ratings
	rated   []practical.Rating // as they stand in the file
	raters  []string           // in the order in which they came
	just    *float64           // the rating that just passes, when marks were last worked out, or as they were released
	out     bool               // the marks were released
	erased  []Note             // of candidates who were
	decided decided            // about cases
}

// note keeps a line of what was done, and what else is to be kept, at once.
func (b *book) note(n Note, at time.Time, with ...write) error {
	if !b.known {
		if err := b.read(); err != nil {
			return err
		}
		if err := b.Broken(); err != nil {
			return err
		}
	}
	n.N, n.At, n.Before = b.n+1, at.Round(0), b.last
	text, err := json.Marshal(n)
	if err != nil {
		return err
	}
	err = b.store.Together(func(w store.Writes) error {
		if err := doAll(w, with); err != nil {
			return err
		}
		return w.Note(b.practical, n.N, text)
	})
	if err == nil {
		b.goesOn(n, text)
		return nil
	}
	kept, unread := b.has(n.N, text)
	if kept {
		b.goesOn(n, text)
		return nil
	}
	if unread != nil {
		b.unsure.Store(&unsure{n.N, text, n.At})
	}
	b.known = false
	return err
}

// unsure is a line of which the store could not say whether it is kept.
type unsure struct {
	n    int
	text []byte
	at   time.Time // by the clock on the wall
}

// has reports whether a line is kept, though the store may have said that it is not: then
// all is that was to be kept with it. The error is that nobody can say.
func (b *book) has(n int, text []byte) (bool, error) {
	lines, err := b.store.Notes(b.practical)
	return err == nil && len(lines) >= n && bytes.Equal(lines[n-1], text), err
}

// goesOn takes in a line that is kept: the next one, whatever it calls itself.
func (b *book) goesOn(n Note, text []byte) {
	sum := sha256.Sum256(text)
	b.n, b.last = b.n+1, hex.EncodeToString(sum[:])
	b.took(n)
}

// took takes in what a line says that was kept.
func (b *book) took(n Note) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.latest = n.At
	switch n.Do {
	case Made:
		b.made, b.opens = n.At, n.Opens
	case Opened: // a request for it may be left, where the time has come meanwhile
		b.asked = slices.DeleteFunc(b.asked, func(o Note) bool { return o.Asks == Opened })
	case Halted:
		b.why = n.Reason
	case Erasable:
		if b.may == nil {
			b.may = map[string]bool{}
		}
		b.may[n.Candidate] = true
	case Marked:
		b.marked, b.since = n.At, nil
		if b.sum = n.Sum; !b.out { // what two people released stays
			b.just = n.Just
		}
	case Released:
		b.out = true
	case Asked:
		b.asked = append(b.asked, n)
	case Erased:
		b.outdates(n)
	}
	b.asked = slices.DeleteFunc(b.asked, func(o Note) bool { return o.N == n.For })
	if n.Do == Voided {
		if b.void == nil {
			b.void = map[string]string{}
		}
		b.void[n.Candidate] = cmp.Or(n.Reason, "-")
		b.outdates(n)
	}
	b.tookBeside(n)
}

// outdates has the marks be none, which have to be worked out with what note n says; for who
// holds mu.
func (b *book) outdates(n Note) {
	if b.sum = ""; !b.marked.IsZero() {
		b.since = append(b.since, n)
	}
}

// read takes in the lines that are kept after those that are known, up to where the chain
// breaks.
func (b *book) read() error {
	lines, err := b.store.Notes(b.practical)
	if err != nil {
		return err
	}
	if len(lines) < b.n {
		return store.ErrDamaged
	}
	for _, text := range lines[b.n:] {
		n, is := next(text, b.n, b.last)
		if !is {
			b.breaks(b.n + 1)
			break
		}
		b.goesOn(n, text)
	}
	b.known = true
	return nil
}

// next is the note that a line is, and whether it is the one after note n, which has a sum.
func next(text []byte, n int, sum string) (next Note, is bool) {
	err := json.Unmarshal(text, &next)
	return next, err == nil && next.N == n+1 && next.Before == sum
}

// breaks has the chain of notes break at note n.
func (b *book) breaks(n int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.broken = fact.Refuse("host.broken", "practical", b.practical, "n", fact.Count(n))
}

// Broken says where the chain of notes breaks; nil where it does not. Then nothing more is
// done at the practical: a line that is added would hide what is missing.
func (b *book) Broken() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.broken
}

// Opens is when one person may open the practical; the zero value: at any time.
func (b *book) Opens() time.Time {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.opens
}

// lastNote is when the last line was written.
func lastNote(b *book) time.Time {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.latest
}

// MadeAt is when the practical was made.
func (b *book) MadeAt() time.Time {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.made
}

// Halt is why the time was halted last for everybody.
func (b *book) Halt() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.why
}

// Early reports whether it takes two people to open the practical now.
func (b *book) Early(now time.Time) bool { return now.Before(b.Opens()) }

// erasable reports whether two people have agreed that a candidate is erased before the
// release.
func (b *book) erasable(candidate string) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.may[candidate]
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

// Requests are those that nobody has answered yet.
func (b *book) Requests() []Note {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.asked)
}

// request is the one in note n that nobody has answered.
func (b *book) request(n int) (Note, error) {
	all := b.Requests()
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
		n, is := next(text, i, before)
		if !is {
			return all, fact.Refuse("host.chain", "n", fact.Count(i+1))
		}
		sum := sha256.Sum256(text)
		before = hex.EncodeToString(sum[:])
		all = append(all, n)
	}
	return all, nil
}

// Concern tells which notes concern a candidate, under a wrong number too that they had; of
// whom numbers were exchanged with, only what came after it.
func Concern(all []Note, candidate string) []bool {
	concerns, number := make([]bool, len(all)), candidate
	for i, n := range slices.Backward(all) {
		concerns[i] = n.Candidate == candidate || n.Candidate == number || n.To == number && n.To != ""
		switch {
		case n.Do == Renumbered && n.To == number:
			number = n.Candidate
		case n.Do == Exchanged && n.To == number:
			candidate, number = n.Candidate, n.Candidate
		case n.Do == Exchanged && n.Candidate == number:
			candidate, number = n.To, n.To
		}
	}
	return concerns
}
