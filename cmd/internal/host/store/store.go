// Package store says what a service of practicals keeps, whatever keeps it. A
// store knows no rules but three: a line stays as it was written, the next line
// is the one after the last, and what was kept is kept when the call returns.
// Package lite keeps it in SQLite; storetest has the tests that every store passes.
package store

import (
	"time"

	"conoid/sim/fact"
)

// Practical is a practical that is held.
type Practical struct {
	ID    string
	Stage string // how far it has come, as the service calls it
	File  []byte // sealed for the service
}

// Seat is a candidate's place at a practical.
type Seat struct {
	Practical, Candidate string
	Ticket               []byte // keyed hash of what lets the candidate in; nil when none is out
	Session              []byte // keyed hash of the session that has the place; nil when none has
	Tab                  string // the page of that session that acts
	Record               []byte // of the attempt, as package practical writes it; nil before it
	Result               []byte // the file for the assessor; nil before the end
}

// Place is whose log a line belongs to: that of one case of one candidate.
type Place struct {
	Practical, Candidate string
	Case                 int // index in the plan
}

// Line is a line of a log.
type Line struct {
	N    int    // 0 is the header, then the event's number
	ID   string // of the request that it came of
	Text []byte // byte for byte, with its end
}

// Person is somebody of the staff.
type Person struct {
	Name, Role, By string
	Since          time.Time
	Ended          bool
}

// The kinds of what lets somebody of the staff in.
const (
	Link    = "link"
	Session = "session"
)

// Pass is what lets somebody of the staff in.
type Pass struct {
	Kind       string
	Hash       []byte // keyed hash of it
	Name       string // whom; "" for whoever will name themselves
	Role       string // of who will
	By         string
	Made, Seen time.Time // to the nanosecond, without a zone
}

// Staff keeps who is of the staff, and what lets them in.
type Staff interface {
	// SetPerson keeps a person in place of what was kept of them.
	SetPerson(Person) error
	People() ([]Person, error) // in the order in which they came

	// SetPass keeps what lets somebody in, in place of what has the same hash.
	SetPass(Pass) error
	Pass(hash []byte) (Pass, error) // the zero value when there is none
	DropPass(hash []byte) error     // ErrTaken when there is none any more
}

// ErrTaken says that the line is there already, or that one before it is missing.
var ErrTaken error = fact.Refuse("host.not-next")

// ErrNewer says that the store was written by a newer program.
var ErrNewer error = fact.Refuse("host.newer")

// ErrInUse says that another program has the store.
var ErrInUse error = fact.Refuse("host.in-use")

// ErrDamaged says that the store is not whole.
var ErrDamaged error = fact.Refuse("host.damaged")

// Writes keep something. What a call was given is kept when it returns without an error,
// and nothing of it otherwise.
type Writes interface {
	// SetPractical keeps a practical in place of what was kept of it.
	SetPractical(Practical) error
	// SetSeat keeps a seat in place of what was kept of it; not its record and result.
	SetSeat(Seat) error
	// SetRecord keeps the record of a seat that is there.
	SetRecord(practical, candidate string, record []byte) error
	// SetResult keeps the result of a seat that is there.
	SetResult(practical, candidate string, result []byte) error
	// Append keeps the next line of a log; ErrTaken when it is not that.
	Append(Place, Line) error
	// Note keeps the next line of what was done to a practical; ErrTaken when n is
	// not its number. The first is 1.
	Note(practical string, n int, text []byte) error
	// SetPapers keeps what was worked out of a practical, by name, in place of all that
	// was kept of it before.
	SetPapers(practical string, papers map[string][]byte) error
	// Renumber gives a seat that is there another number, with the logs of the cases
	// that are named, in place of a seat of that number, which has no logs. Other logs of
	// the seat are removed.
	Renumber(practical, from, to string, logs []int) error
	// Erase removes a seat with all lines of its logs.
	Erase(practical, candidate string) error
}

// Store keeps practicals, seats, logs, notes and papers. It is for use by many goroutines
// at once.
type Store interface {
	Writes
	// Together keeps all that do writes, at once, or nothing of it when do says an error.
	// It calls nothing else of the store.
	Together(do func(Writes) error) error

	Practicals() ([]Practical, error)               // in the order in which they came
	Seat(practical, candidate string) (Seat, error) // the zero value when there is none
	Seats(practical string) ([]Seat, error)         // by candidate
	Lines(Place) ([]Line, error)
	Notes(practical string) ([][]byte, error)
	Papers(practical string) (map[string][]byte, error)

	Staff() Staff // and their ways in

	Close() error
}

// Singly is the Together of a store that keeps each write by itself with it.
type Singly func(do func(Writes) error) error

var _ Writes = Singly(nil)

// SetPractical implements Writes.
func (k Singly) SetPractical(p Practical) error {
	return k(func(w Writes) error { return w.SetPractical(p) })
}

// SetSeat implements Writes.
func (k Singly) SetSeat(s Seat) error { return k(func(w Writes) error { return w.SetSeat(s) }) }

// SetRecord implements Writes.
func (k Singly) SetRecord(practical, candidate string, record []byte) error {
	return k(func(w Writes) error { return w.SetRecord(practical, candidate, record) })
}

// SetResult implements Writes.
func (k Singly) SetResult(practical, candidate string, result []byte) error {
	return k(func(w Writes) error { return w.SetResult(practical, candidate, result) })
}

// Append implements Writes.
func (k Singly) Append(p Place, l Line) error {
	return k(func(w Writes) error { return w.Append(p, l) })
}

// Note implements Writes.
func (k Singly) Note(practical string, n int, text []byte) error {
	return k(func(w Writes) error { return w.Note(practical, n, text) })
}

// SetPapers implements Writes.
func (k Singly) SetPapers(practical string, papers map[string][]byte) error {
	return k(func(w Writes) error { return w.SetPapers(practical, papers) })
}

// Renumber implements Writes.
func (k Singly) Renumber(practical, from, to string, logs []int) error {
	return k(func(w Writes) error { return w.Renumber(practical, from, to, logs) })
}

// Erase implements Writes.
func (k Singly) Erase(practical, candidate string) error {
	return k(func(w Writes) error { return w.Erase(practical, candidate) })
}
