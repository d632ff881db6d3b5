package asked

import (
	"math"
	"slices"

	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Kinds are what can be said to a question in a word, in the order in which they are
// offered: of two that are compared first the one on the left.
func Kinds(q patient.Question) []patient.Kind {
	switch q {
	case patient.WhichLines:
		return []patient.Kind{patient.Alike, patient.Blurred}
	case patient.WhichLimb:
		return []patient.Kind{patient.Left, patient.Alike, patient.Right, patient.Blurred}
	case patient.WhichBlock:
		return []patient.Kind{patient.Parallel, patient.Alike, patient.Perpendicular, patient.Blurred}
	case patient.WhichColour:
		return []patient.Kind{patient.RedClearer, patient.Alike, patient.GreenClearer, patient.Blurred}
	case patient.WithLens, patient.OneOrTwo:
		return []patient.Kind{patient.Better, patient.Same, patient.Smaller, patient.Worse}
	case patient.ReadLetters:
		return []patient.Kind{patient.Blurred}
	}
	return nil
}

// Named is the answer that names lines of a dial by their directions, degrees in the
// patient's view; without any it is that none stands out.
func Named(lines []float64) patient.Answer {
	if len(lines) == 0 {
		return patient.Answer{Kind: patient.Alike}
	}
	lines = slices.Clone(lines)
	slices.Sort(lines)
	return patient.Answer{Kind: patient.Lines, Lines: inTurn(lines)}
}

// inTurn has lines in rising order begin after their widest gap, for the last line of
// a dial is the neighbour of the first.
func inTurn(lines []float64) []float64 {
	at, widest := 0, 0.0
	for i := range lines {
		gap := math.Mod(lines[i]-lines[(i+len(lines)-1)%len(lines)]+360, 180)
		if gap > widest {
			at, widest = i, gap
		}
	}
	return slices.Concat(lines[at:], lines[:at])
}

// ReadTo is the answer of who read all rows down to one, counted from 0, and so many
// letters of the next; rows are those in view. A letter counts as in
// [patient.Answer.LogMAR].
func ReadTo(rows []patient.RowRead, row, more int) patient.Answer {
	if row < 0 || row >= len(rows) {
		return patient.Answer{Kind: patient.Blurred}
	}
	a := patient.Answer{Kind: patient.Read, LogMAR: rows[row].LogMAR}
	for i, r := range rows[:min(row+2, len(rows))] {
		r.Said = r.Shown
		if i > row {
			more = min(max(more, 0), len(r.Shown))
			if more == 0 {
				break
			}
			r.Said = r.Shown[:more] + unread[:len(r.Shown)-more]
			a.LogMAR -= (rows[row].LogMAR - r.LogMAR) * float64(more) / float64(len(r.Shown))
		}
		a.Rows = append(a.Rows, r)
	}
	a.LogMAR = math.Round(a.LogMAR*1e4) / 1e4
	return a
}

// unread stands for letters that were not even guessed at.
const unread = "....."

// Two answers about letters differ from half a row on, in logMAR; two about lines
// from half the way to the next line of a fan on, in degrees. What is less comes to the same
// for the examiner. The project's choice.
const (
	rowsApart  = 0.05
	linesApart = method.ArrowStep / 2
)

// Differs reports whether the examiner hears something else from the simulated
// patient than from the user.
func (r Reply) Differs() bool {
	mine, theirs := plain(r.Mine.Kind), plain(r.Theirs.Kind)
	switch {
	case mine != theirs:
		return true
	case mine == patient.Read:
		return math.Abs(r.Mine.LogMAR-r.Theirs.LogMAR) > rowsApart-1e-6
	case mine == patient.Lines:
		return apart(r.Mine.Lines, r.Theirs.Lines) > linesApart-1e-6
	}
	return false
}

// plain is a kind of answer as far as the examiner goes by it: who cannot tell sees no
// difference.
func plain(k patient.Kind) patient.Kind {
	switch k {
	case patient.Unsure, patient.Same:
		return patient.Alike
	}
	return k
}

// apart is how far the middles of two groups of lines are apart, degrees.
func apart(a, b []float64) float64 { return math.Abs(optics.AxisDifference(middle(a), middle(b))) }

// middle is the label in the middle of some lines, or of the first where they have
// none.
func middle(lines []float64) float64 {
	label, ok := method.Middle(lines)
	if !ok && len(lines) > 0 {
		return chart.LabelOf(lines[len(lines)/2])
	}
	return label
}

// Differing are the replies in which the simulated patient said something else, in
// their order.
func (x *Examination) Differing() (out []Reply) {
	for _, r := range x.replies {
		if r.Differs() {
			out = append(out, r)
		}
	}
	return out
}
