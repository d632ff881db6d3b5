package scoring

import (
	"fmt"
	"math"

	"conoid/sim/optics"
	"conoid/sim/patient"
)

// balancing judges the work with the arrow.
func (t *trace) balancing(axis float64) []Finding {
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
		out = append(out, Finding{
			ID: "arrow-missing", Title: "The axis was not refined with the arrow", Events: t.axisEvents(axis), loses: 0.5,
			What:   "The arrow was not asked about.",
			Optics: fmt.Sprintf("The lines of the dial are 10 degrees apart. For this cylinder the axis has to be within %.0f degrees; it was %.0f off.", AxisTolerance(t.truth.Cyl), apart(axis, t.truth.Axis)),
			Better: "Point the arrow to the clearest line, and turn it toward the limb that is more blurred until both are alike.",
		})
	case t.balanced(arrows, axis):
		out = append(out, Finding{
			ID: "blocks-before-arrow", Title: "The power was found before the axis", Events: blocks, loses: 0.25,
			What:   "The arrow was balanced only after the last question about the blocks.",
			Optics: "On an axis that is off, the blocks are alike with too little cylinder in.",
			Better: "Go back to the blocks once the arrow is balanced.",
		})
	case len(out) == 0:
		out = append(out, Finding{
			ID: "arrow-not-balanced", Title: "The arrow was not balanced", Events: arrows, loses: 0.5,
			What:   fmt.Sprintf("In %s about the arrow, without a cylinder before the eye, its limbs were neither alike at the axis used, %.0f, nor seen to change sides around it.", count(len(t.where(arrows, (*moment).plain)), "question"), axis),
			Optics: t.offAxis(axis),
			Better: "Turn until the limbs are alike or change sides, and take the middle.",
		})
	}
	return out
}

// offAxis tells what an axis leaves.
func (t *trace) offAxis(axis float64) string {
	off := apart(axis, t.truth.Axis)
	if off < 1 || t.truth.Cyl == 0 {
		return "The axis came out right all the same; nothing that was said shows it."
	}
	return fmt.Sprintf("The axis was %.0f degrees off, which leaves %.2f D of astigmatism however right the power is.", off, crossed(t.truth.Cyl, off))
}

// balanced tells whether some answers about the arrow settle an axis: limbs
// alike near it, or clearer on one side before it and on the other behind it.
// The limb to the left is clearer when the axis has a greater label.
func (t *trace) balanced(arrows []int, axis float64) bool {
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

// balancedSomewhere tells whether the answers about the arrow settle any axis.
func (t *trace) balancedSomewhere() bool {
	for axis := 1; axis <= 180; axis++ {
		if t.balanced(t.arrows(), float64(axis)) {
			return true
		}
	}
	return false
}

// turns are the turns of the arrow towards the clearer limb, and the number of
// those towards the more blurred one.
func (t *trace) turns() (wrong []int, right int) {
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

// astray tells whether turns toward the clearer limb were what was done: twice
// and as often as the right ones, or once, to stay there. A single one may be a
// look at the other side.
func (t *trace) astray(wrong []int, right int, axis float64) bool {
	switch len(wrong) {
	case 0:
		return false
	case 1:
		return right == 0 && apart(axis, float64(t.moments[wrong[0]].State.Pointer)) <= besideAxis
	}
	return len(wrong) >= right
}

func (t *trace) turnedWrong(wrong []int) Finding {
	m := &t.moments[wrong[len(wrong)-1]]
	return Finding{
		ID: "arrow-turned-wrong", Title: "The arrow was turned toward the clearer limb", Events: wrong, loses: 0.5,
		What:   fmt.Sprintf("%s made away from the limb that was more blurred; the last one brought the arrow to %d.", were(len(wrong), "turn"), m.State.Pointer),
		Optics: fmt.Sprintf("The axis of the eye is %.0f; the arrow ended %.0f degrees from it.", t.truth.Axis, apart(float64(m.State.Pointer), t.truth.Axis)),
		Better: "Turn toward the limb that is more blurred.",
	}
}

// deceived tells whether the blocks were brought to equality, or reversed, on
// an axis further off than the cylinder allows.
func (t *trace) deceived(axis float64) bool {
	off := apart(axis, t.truth.Axis)
	if t.truth.Cyl == 0 || len(t.blocks()) == 0 || off <= AxisTolerance(t.truth.Cyl) || off >= 45 {
		return false
	}
	a := t.answersByPower()
	return len(a[patient.Alike]) > 0 || len(a[patient.Parallel]) > 0 && len(a[patient.Perpendicular]) > 0
}

func (t *trace) unsettled(axis float64) Finding {
	off, c := apart(axis, t.truth.Axis), math.Abs(t.truth.Cyl)
	rad := 2 * off * math.Pi / 180
	f := Finding{
		ID: "blocks-axis-unsettled", Title: "The blocks were balanced on an axis that was not settled", Events: t.blocks(), loses: 0.75,
		What: fmt.Sprintf("The arrow was never balanced at axis %.0f, where the cylinder was brought to equality.", axis),
		Optics: fmt.Sprintf("The axis is %.0f degrees off. The blocks are then alike with C cos 2t, %.2f of %.2f D, in; C sin 2t, %.2f D, stays at 45 degrees to the arrow, where the blocks cannot show it.",
			off, c*math.Cos(rad), c, c*math.Sin(rad)),
		Better: "Balance the arrow first. When the blocks are alike, show the fan once more: no line must stand out.",
	}
	again := t.where(t.dials(), func(m *moment) bool {
		l, ok := label(m.Answer)
		return ok && !m.plain() && m.N > t.blocks()[0] && math.Abs(apart(l, axis)-45) <= nearOblique
	})
	if len(again) > 0 {
		l, _ := label(t.moments[again[0]].Answer)
		f.Events = append(f.Events, again...)
		f.Optics += fmt.Sprintf(" The fan, shown again, told so: its clearest line was labelled %.0f.", l)
	}
	return f
}
