// Package expect is what a student expects to hear before the patient answers, and how
// that compares with what was said. Who says first what will come, and then sees, learns
// more from it than who only watches.
package expect

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"conoid/sim/chart"
	"conoid/sim/patient"
)

// Guess is what is expected. The zero value is nothing yet.
type Guess struct {
	Kind patient.Kind
	// From and To are the labels, degrees, of the lines at either end of a group: those
	// at which the label rises from one to the other, over 180 if need be. Of Lines.
	From, To int
	Row      float64 // the smallest row that is read, logMAR. Of Read
}

// Kinds are the answers to a question that can be expected, but for lines and rows,
// which are more than a kind.
func Kinds(q patient.Question) []patient.Kind {
	switch q {
	case patient.WhichLines:
		return []patient.Kind{patient.Alike, patient.Blurred}
	case patient.WhichLimb:
		return []patient.Kind{patient.Left, patient.Alike, patient.Right}
	case patient.WhichBlock:
		return []patient.Kind{patient.Parallel, patient.Alike, patient.Perpendicular}
	case patient.WhichColour:
		return []patient.Kind{patient.RedClearer, patient.Alike, patient.GreenClearer}
	case patient.WithLens, patient.OneOrTwo:
		return []patient.Kind{patient.Better, patient.Same, patient.Smaller, patient.Worse}
	}
	return nil
}

// LinesBetween expects the group of lines between two labels, degrees.
func LinesBetween(from, to int) Guess {
	return Guess{Kind: patient.Lines, From: folded(from), To: folded(to)}
}

// Wide is how many degrees the group of lines reaches.
func (g Guess) Wide() int { return (g.To - g.From + 180) % 180 }

// String is the guess as a log has it: the kind of an answer, the label of a line, two
// labels, or a row.
func (g Guess) String() string {
	switch g.Kind {
	case patient.Lines:
		if g.From == g.To {
			return strconv.Itoa(g.From)
		}
		return fmt.Sprintf("%d-%d", g.From, g.To)
	case patient.Read:
		return fmt.Sprintf("row %.1f", g.Row)
	}
	return string(g.Kind)
}

// Parse reads what String wrote.
func Parse(s string) (g Guess, ok bool) {
	if row, is := strings.CutPrefix(s, "row "); is {
		size, err := strconv.ParseFloat(row, 64)
		return Guess{Kind: patient.Read, Row: size}, err == nil
	}
	from, to, group := strings.Cut(s, "-")
	if !group {
		to = from
	}
	a, errA := strconv.Atoi(from)
	b, errB := strconv.Atoi(to)
	if errA == nil && errB == nil {
		return LinesBetween(a, b), a > 0 && b > 0 && a <= 180 && b <= 180
	}
	return Guess{Kind: patient.Kind(s)}, s != ""
}

// Lines are the directions of a group, degrees in the patient's view, each a step from the next,
// as the answer of a patient has them.
func (g Guess) Lines(step int) (out []float64) {
	for label := g.From; ; label += step {
		out = append(out, chart.AngleOf(float64(folded(label))))
		if (label-g.From)+step > g.Wide() {
			break
		}
	}
	slices.Reverse(out) // as the label rises the line turns clockwise
	return out
}

// folded brings the label of a line into 1 to 180.
func folded(label int) int { return ((label-1)%180+180)%180 + 1 }

// middle is the mean direction of lines, degrees.
func middle(lines []float64) float64 {
	var s, c float64
	for _, a := range lines {
		sin, cos := math.Sincos(a * math.Pi / 90)
		s, c = s+sin, c+cos
	}
	return math.Atan2(s, c) * 90 / math.Pi
}
