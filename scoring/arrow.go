package scoring

import (
	"math"

	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// balancing judges the work with the arrow.
func (t axisWork) balancing(axis float64) []Finding {
	arrows, blocks := t.arrows(), t.blocks()
	var out []Finding
	if wrong, right := t.turns(); t.astray(wrong, right, axis) {
		out = append(out, t.turnedWrong(wrong))
	}
	end := len(t.moments)
	if len(blocks) > 0 {
		end = blocks[len(blocks)-1]
	}
	before := t.where(arrows, func(m *moment) bool { return m.N < end })
	switch {
	case t.balanced(before, axis):
	case t.deceived(axis):
		out = append(out, t.unsettled(axis))
	case len(arrows) == 0:
		out = append(out, finding("arrow-missing", 0.5, t.axisEvents(axis),
			"allowed", fact.Degrees(method.AxisTolerance(t.truth.Cyl)), "off", fact.Degrees(apart(axis, t.truth.Axis))))
	case t.balanced(arrows, axis):
		out = append(out, finding("blocks-before-arrow", 0.25, blocks))
	case len(out) == 0:
		out = append(out, t.notBalanced(arrows, axis))
	}
	return out
}

func (t axisWork) notBalanced(arrows []int, axis float64) Finding {
	off := apart(axis, t.truth.Axis)
	f := finding("arrow-not-balanced", 0.5, arrows,
		"questions", fact.Count(len(t.where(arrows, (*moment).plain))), "axis", fact.Degrees(axis),
		"off", fact.Degrees(off), "left", fact.Amount(crossed(t.truth.Cyl, off)))
	if off < 1 || t.truth.Cyl == 0 {
		f.Form = "right" // all the same
	}
	return f
}

// balanced reports whether some answers about the arrow settle an axis: limbs
// alike near it, or clearer on one side before it and on the other behind it.
// The limb to the left is clearer when the axis has a greater label.
func (t axisWork) balanced(arrows []int, axis float64) bool {
	low, high := math.Inf(-1), math.Inf(1)
	for _, i := range arrows {
		m := &t.moments[i]
		d := optics.AxisDifference(axis, float64(m.State.Pointer))
		if math.Abs(d) > 45 || !m.plain() {
			continue // there the other focal line is meant; through a cylinder, what is left of both
		}
		switch m.Answer.Kind {
		case patient.Alike, patient.Unsure:
			if math.Abs(d) <= nearAlike {
				return true
			}
		case patient.Left:
			low = math.Max(low, d)
		case patient.Right:
			high = math.Min(high, d)
		}
	}
	return high-low <= widestPair && low <= besideAxis && high >= -besideAxis
}

// balancedSomewhere reports whether the answers about the arrow settle any axis.
func (t axisWork) balancedSomewhere() bool {
	for axis := 1; axis <= 180; axis++ {
		if t.balanced(t.arrows(), float64(axis)) {
			return true
		}
	}
	return false
}

// turns are the turns of the arrow towards the clearer limb, and the number of
// those towards the more blurred one.
func (t axisWork) turns() (wrong []int, right int) {
	arrows := t.arrows()
	for n := 1; n < len(arrows); n++ {
		was, now := &t.moments[arrows[n-1]], &t.moments[arrows[n]]
		d := optics.AxisDifference(float64(was.State.Pointer), float64(now.State.Pointer))
		switch {
		case d == 0 || math.Abs(d) > 45:
		case was.Answer.Kind == patient.Left && d < 0, was.Answer.Kind == patient.Right && d > 0:
			wrong = append(wrong, arrows[n])
		case was.Answer.Kind == patient.Left, was.Answer.Kind == patient.Right:
			right++
		}
	}
	return wrong, right
}

// astray reports whether turns toward the clearer limb were what was done: twice
// and as often as the right ones, or once, to stay there. A single one may be a
// look at the other side.
func (t axisWork) astray(wrong []int, right int, axis float64) bool {
	switch len(wrong) {
	case 0:
		return false
	case 1:
		return right == 0 && apart(axis, float64(t.moments[wrong[0]].State.Pointer)) <= besideAxis
	}
	return len(wrong) >= right
}

func (t axisWork) turnedWrong(wrong []int) Finding {
	m := &t.moments[wrong[len(wrong)-1]]
	return finding("arrow-turned-wrong", 0.5, wrong,
		"turns", fact.Count(len(wrong)), "pointer", fact.Degrees(m.State.Pointer),
		"axis", fact.Degrees(t.truth.Axis), "off", fact.Degrees(apart(float64(m.State.Pointer), t.truth.Axis)))
}

// deceived reports whether the blocks were brought to equality, or reversed, on
// an axis further off than the cylinder allows.
func (t axisWork) deceived(axis float64) bool {
	off := apart(axis, t.truth.Axis)
	if t.truth.Cyl == 0 || len(t.blocks()) == 0 || off <= method.AxisTolerance(t.truth.Cyl) || off >= 45 {
		return false
	}
	a := t.answersByPower()
	return len(a[patient.Alike]) > 0 || len(a[patient.Parallel]) > 0 && len(a[patient.Perpendicular]) > 0
}

func (t axisWork) unsettled(axis float64) Finding {
	off, c := apart(axis, t.truth.Axis), math.Abs(t.truth.Cyl)
	rad := 2 * off * math.Pi / 180
	f := finding("blocks-axis-unsettled", 0.75, t.blocks(),
		"axis", fact.Degrees(axis), "off", fact.Degrees(off), "cylinder", fact.Amount(c),
		"alike", fact.Amount(c*math.Cos(rad)), "left", fact.Amount(c*math.Sin(rad)))
	again := t.where(t.dials(), func(m *moment) bool {
		l, ok := label(m.Answer)
		return ok && !m.plain() && m.N > t.blocks()[0] && math.Abs(apart(l, axis)-45) <= nearOblique
	})
	if len(again) > 0 {
		l, _ := label(t.moments[again[0]].Answer)
		f.Events = append(f.Events, again...)
		f.Form, f.Values["label"] = "told", fact.Degrees(l)
	}
	return f
}
