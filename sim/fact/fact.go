// Package fact is what people are to be told before it is in words: a stable
// name, and the values that it is about. Who decides returns a [Fact]; one room,
// package render/voice, puts it into words, in any language. [New] makes one, and
// [Refuse] an [Error] that is one:
//
//	fact.New("sitting.cell-full", "cell", cell, "lens", lens)
//
// A value is a number with its unit ([Power], [Degrees], [Count] and the like), a
// type of the project that has a name of its own (see [Named]), a [Command], text
// that is repeated as it was written, another Fact, an error, or a list of these.
package fact

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
)

// Fact is one thing to be told.
type Fact struct {
	ID     string         `json:"id"`               // lower-case words with "-", in groups that "." divides
	Values map[string]any `json:"values,omitempty"` // by their names in the words for it
}

// Named is a value that has a word of its own in each language, such as an eye,
// a chart or a cell.
type Named interface {
	Name() string // the ID of its word, such as "eye.right"
}

// The units that a number can have.
type (
	Power   float64 // dioptres with a sign: the power of a lens, a change
	Amount  float64 // dioptres without a sign: a distance, a size
	Degrees float64 // an axis, or a turn without a sign
	Turn    float64 // degrees with a sign
	Label   float64 // the label of a line of a dial, and the place of the arrow: degrees, or told as an hour where the dials have hours
	Count   int     // how many
	Number  float64 // without a unit, with no more decimals than it needs
	Points  float64 // of a mark
	LogMAR  float64 // an acuity, written as a row and letters more or fewer
	Row     float64 // logMAR of a row of letters, written as its size
	Seconds float64 // a length of time
	Events  []int   // numbers of events in a log
)

// Moment is what a clock on the wall reads, told with the name of the month.
type Moment struct{ time.Time }

// String is for programmers: to the minute and of no zone.
func (m Moment) String() string { return m.Format("2006-01-02 15:04") }

// MarshalJSON implements json.Marshaler, in place of the time's own.
func (m Moment) MarshalJSON() ([]byte, error) { return []byte(`"` + m.String() + `"`), nil }

// Command is a line of the command language in its own words, which are the
// English ones, such as "change sphere to +0.75". A language may have words of
// its own for it that are read as well.
type Command string

// New is a fact with the values that are given in pairs of a name and a value.
// It panics when the pairs are not that.
func New(id string, pairs ...any) Fact { return Fact{ID: id}.With(pairs...) }

// With is the fact with more values, or others.
func (f Fact) With(pairs ...any) Fact {
	if len(pairs) == 0 {
		return f
	}
	if len(pairs)%2 != 0 {
		panic("fact: " + f.ID + ": a value without a name")
	}
	f.Values = maps.Clone(f.Values)
	if f.Values == nil {
		f.Values = map[string]any{}
	}
	for i := 0; i < len(pairs); i += 2 {
		f.Values[pairs[i].(string)] = pairs[i+1]
	}
	return f
}

// String is for programmers: the ID and the values, in order of their names.
func (f Fact) String() string {
	if len(f.Values) == 0 {
		return f.ID
	}
	var parts []string
	for _, name := range slices.Sorted(maps.Keys(f.Values)) {
		parts = append(parts, fmt.Sprintf("%s %v", name, f.Values[name]))
	}
	return f.ID + " (" + strings.Join(parts, ", ") + ")"
}

// Error is a fact that stopped something. Its message is for programmers;
// people read what package render/voice makes of it.
type Error struct {
	Fact
	Cause error // nil when the fact is the whole of it
}

// Refuse is an error with a fact made as by New.
func Refuse(id string, pairs ...any) *Error { return &Error{Fact: New(id, pairs...)} }

// Because is Refuse with the error that caused it; the words for it name it
// {cause}.
func Because(cause error, id string, pairs ...any) *Error {
	return &Error{New(id, pairs...), cause}
}

func (e *Error) Error() string {
	if e.Cause == nil {
		return e.String()
	}
	return e.String() + ": " + e.Cause.Error()
}

// Unwrap is the cause.
func (e *Error) Unwrap() error { return e.Cause }

// Told is an error that is a fact.
type Told interface {
	error
	Tell() Fact
}

// Tell is the fact itself; what embeds a fact and is an error is [Told].
func (f Fact) Tell() Fact { return f }
