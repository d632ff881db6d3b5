package cases

import (
	"cmp"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"

	"conoid/sim/fact"
)

// Malformed is a file with mistakes in it: all of them, in order. It unwraps to
// one error for each, which says its place as well.
type Malformed struct {
	File     string
	Mistakes []Mistake
}

// Mistake is one mistake: where it is, what is wrong, and what is allowed.
type Mistake struct {
	Line, Column int // from 1; columns in characters
	fact.Fact
}

// in is the mistake with the file that it is in.
func (m Mistake) in(file string) *fact.Error {
	return fact.Refuse("case.at", "file", file, "line", fact.Count(m.Line), "column", fact.Count(m.Column), "what", m.Fact)
}

// Unwrap is an error for each mistake.
func (e *Malformed) Unwrap() []error {
	out := make([]error, len(e.Mistakes))
	for i, m := range e.Mistakes {
		out[i] = m.in(e.File)
	}
	return out
}

// Error is for programmers: a line for each mistake.
func (e *Malformed) Error() string {
	var lines []string
	for _, err := range e.Unwrap() {
		lines = append(lines, err.Error())
	}
	return strings.Join(lines, "\n")
}

// Unsupported is a file of a version that this program does not read. It may
// well be right.
type Unsupported struct {
	File string
	Mistake
}

// Error is for programmers.
func (e *Unsupported) Error() string { return e.in(e.File).Error() }

// Tell is where the file says its version, and which are read.
func (e *Unsupported) Tell() fact.Fact { return e.in(e.File).Fact }

// fault is a mistake at a byte of the file.
type fault struct {
	at   int
	what fact.Fact
}

// mostTold is how many mistakes of a file are told: more than anybody mends at a
// time (our choice). What is wrong further down is counted alone.
const mostTold = 50

// mistakes sorts faults and finds their lines and columns, in one pass. What
// stands at the same place twice is said once.
func mistakes(text []byte, faults []fault) []Mistake {
	slices.SortStableFunc(faults, func(a, b fault) int { return cmp.Compare(a.at, b.at) })
	faults = slices.CompactFunc(faults, func(a, b fault) bool { return reflect.DeepEqual(a, b) })
	if more := len(faults) - mostTold; more > 0 {
		faults = append(faults[:mostTold], fault{faults[mostTold].at, fact.New("case.more", "n", fact.Count(more))})
	}
	out := make([]Mistake, len(faults))
	line, start, at := 1, 0, 0
	for i, f := range faults {
		for ; at < f.at; at++ {
			if text[at] == '\n' {
				line, start = line+1, at+1
			}
		}
		out[i] = Mistake{line, utf8.RuneCount(text[start:f.at]) + 1, f.what}
	}
	return out
}
