package scoring

import (
	"math"

	"conoid/cases"
	"conoid/scoring/evidence"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/patient"
)

// balancing is what was lacking with the arrow, where the answers do not bear the axis
// out.
func (t axisWork) balancing(axis float64, astray bool) []Finding {
	arrows := t.arrows()
	switch {
	case astray:
		return nil
	case t.unsettledBlocks(axis):
		return []Finding{t.unsettled(axis)}
	case len(arrows) == 0:
		return []Finding{finding("arrow-missing", 0, t.axisEvents(axis), "allowed", fact.Degrees(math.Round(cases.AxisBand(t.found().Cyl))))}
	}
	heard, ok := t.heardAxis()
	if !ok {
		heard = axis
	}
	off := apart(axis, heard)
	f := finding("arrow-not-balanced", 0, arrows, "questions", fact.Count(len(arrows)), "axis", fact.Degrees(axis),
		"heard", fact.Degrees(heard), "off", fact.Degrees(math.Round(off)), "left", fact.Amount(crossed(t.found().Cyl, off)))
	if c := t.claim(cases.AxisClaim); c.Fit == nil || c.Support == evidence.Weak {
		f.Form = "one-side"
	}
	return []Finding{f}
}

// turns are the answers about the arrow after which it was turned towards the
// clearer limb and not back, and the number of those that were followed.
func (t axisWork) turns() (wrong []int, right int) {
	for _, f := range t.heeded {
		switch last := f.Events[len(f.Events)-1]; {
		case t.moments[last].Action.Question != patient.WhichLimb:
		case f.Heeded:
			right++
		case apart(f.From, f.To) > grain:
			wrong = append(wrong, last)
		}
	}
	return wrong, right
}

// astray reports whether turns toward the clearer limb were what was done: twice
// and as often as the right ones, or once and nothing else.
func (t axisWork) astray(wrong []int, right int) bool {
	switch len(wrong) {
	case 0:
		return false
	case 1:
		return right == 0
	}
	return len(wrong) >= right
}

func (t axisWork) turnedWrong(wrong []int) Finding {
	m := &t.moments[wrong[len(wrong)-1]]
	return finding("arrow-turned-wrong", 0, wrong, "turns", fact.Count(len(wrong)), "pointer", fact.Label(m.State.Pointer))
}

// unsettledBlocks reports whether the blocks were brought to equality, or reversed,
// on another axis than the arrow says by more than the cylinder allows.
func (t axisWork) unsettledBlocks(axis float64) bool {
	heard, ok := t.heardAxis()
	off := apart(axis, heard)
	if !ok || len(t.blocks()) == 0 || off <= cases.AxisBand(t.found().Cyl) || off >= 45 {
		return false
	}
	a := t.answersByPower()
	return len(a[patient.Alike]) > 0 || len(a[patient.Parallel]) > 0 && len(a[patient.Perpendicular]) > 0
}

func (t axisWork) unsettled(axis float64) Finding {
	heard, _ := t.heardAxis()
	off, c := apart(axis, heard), math.Abs(t.found().Cyl)
	rad := 2 * off * math.Pi / 180
	f := finding("blocks-axis-unsettled", 0, t.blocks(),
		"axis", fact.Degrees(axis), "off", fact.Degrees(math.Round(off)), "cylinder", fact.Amount(c),
		"alike", fact.Amount(c*math.Cos(rad)), "left", fact.Amount(c*math.Sin(rad)))
	again := t.where(t.dials(), func(m *moment) bool {
		l, ok := label(m.Answer)
		return ok && !m.plain() && m.N > t.blocks()[0] && method.TowardLine(axis, l) != method.Stay
	})
	if len(again) > 0 {
		l, _ := label(t.moments[again[0]].Answer)
		f.Events = append(f.Events, again...)
		f.Form, f.Values["label"] = "told", fact.Label(l)
	}
	return f
}
