package cases

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Malformed is a case file with mistakes in it: all of them, in order.
type Malformed struct {
	File     string
	Mistakes []Mistake
}

// Mistake is one mistake: what is wrong, and what is allowed.
type Mistake struct {
	Line, Column int // from 1; columns in characters
	Msg          string
}

// Error has one line for each mistake.
func (e *Malformed) Error() string {
	lines := make([]string, len(e.Mistakes))
	for i, m := range e.Mistakes {
		lines[i] = fmt.Sprintf("%s:%d:%d: %s", e.File, m.Line, m.Column, m.Msg)
	}
	return strings.Join(lines, "\n")
}

// Unsupported is a case file that may well be right, but asks for what this
// version cannot do.
type Unsupported struct {
	File string
	Mistake
}

// Error says where and what.
func (e *Unsupported) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s", e.File, e.Line, e.Column, e.Msg)
}

// fault is a mistake at a byte of the file.
type fault struct {
	at  int
	msg string
}

// mistakes sorts faults and finds their lines and columns, in one pass. What
// stands at the same place twice is said once.
func mistakes(text []byte, faults []fault) []Mistake {
	slices.SortStableFunc(faults, func(a, b fault) int { return cmp.Compare(a.at, b.at) })
	faults = slices.CompactFunc(faults, func(a, b fault) bool { return a == b })
	out := make([]Mistake, len(faults))
	line, start, at := 1, 0, 0
	for i, f := range faults {
		for ; at < f.at; at++ {
			if text[at] == '\n' {
				line, start = line+1, at+1
			}
		}
		out[i] = Mistake{line, utf8.RuneCount(text[start:f.at]) + 1, f.msg}
	}
	return out
}
