package expect

import (
	"math"
	"slices"

	"conoid/sim/patient"
)

// Verdict says how a guess compares with the answer.
type Verdict uint8

// The verdicts.
const (
	Open  Verdict = iota // nothing was expected, or no answer came of it
	Right                // that is what was said
	Near                 // next to it
	Off                  // something else was said
)

var verdicts = [...]string{Open: "open", Right: "right", Near: "near", Off: "off"}

// Name is what a verdict is called in the words.
func (v Verdict) Name() string { return "expect." + verdicts[v] }

// How far off a guess may be, the project's choices. Of lines it is their middle that
// counts: a patient calls three or four of them the clearest, and where such a group ends
// is chance, so that half a line is left to it. A line of the fan is 10 degrees from the next, a row of letters 0.1.
const (
	rightLine, nearLine = 5.0, 20.0
	rightRow, nearRow   = 0.1, 0.2
	rounding            = 1e-6
)

// Holds compares the guess with what was said.
func (g Guess) Holds(a patient.Answer) Verdict {
	switch {
	case g.Kind == "" || !settled(a.Kind):
		return Open
	case g.Kind == patient.Lines && a.Kind == patient.Lines:
		off := math.Abs(math.Remainder(middle(g.Lines(1))-middle(a.Lines), 180))
		return within(off, rightLine, nearLine)
	case g.Kind == patient.Read && a.Kind == patient.Read:
		return within(math.Abs(g.Row-a.LogMAR), rightRow, nearRow)
	case g.Kind == a.Kind:
		return Right
	case beside(g.Kind, a.Kind):
		return Near
	}
	return Off
}

func within(off, right, near float64) Verdict {
	switch {
	case off <= right+rounding:
		return Right
	case off <= near+rounding:
		return Near
	}
	return Off
}

// settled reports whether an answer says anything that can have been expected.
func settled(k patient.Kind) bool {
	return k != patient.Again && k != patient.Unsure && k != patient.Changing
}

// rows are answers in an order in which neighbours are taken for one another.
var rows = [][]patient.Kind{
	{patient.Left, patient.Alike, patient.Right},
	{patient.Parallel, patient.Alike, patient.Perpendicular},
	{patient.RedClearer, patient.Alike, patient.GreenClearer},
	{patient.Better, patient.Same, patient.Smaller, patient.Worse},
}

// beside reports whether two answers are neighbours.
func beside(a, b patient.Kind) bool {
	for _, row := range rows {
		i, j := slices.Index(row, a), slices.Index(row, b)
		if i >= 0 && j >= 0 {
			return i-j == 1 || j-i == 1
		}
	}
	return false
}
