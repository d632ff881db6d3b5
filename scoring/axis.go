package scoring

import (
	"math"

	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
)

// The rules of the axis, in degrees: the project's choice, by the steps in which
// axes are worked with. The fan has a line every ArrowStep, and half of the
// smallest usual turn, FineArrowStep, is as near as anybody sets an axis.
const (
	acrossFrom  = 70                         // an axis so far from the label of the clearest line lies along the line rather than across
	mirrorNear  = 10                         // so near to the mirror image of the truth
	mirrorAway  = 20                         // and so far from the truth itself
	widestPair  = method.ArrowStep           // limbs that change sides between turns no further apart leave the axis between them
	nearAlike   = method.ArrowStep           // limbs alike so near to the axis used settle it
	besideAxis  = method.FineArrowStep / 2.0 // so near is the same axis
	nearOblique = 20                         // lines so near to 45 degrees from the arrow
)

// axisWork judges the work on the axis, with a dial and the arrow.
type axisWork struct{ *trace }

// judgeAxis: the dial is asked about, its clearest line sets the axis, across
// it; the arrow is balanced there before the blocks give the power.
func (t axisWork) judgeAxis() judgement {
	switch {
	case t.noneFound():
		at, _ := t.deciding()
		return judgement{good: fact.New("reason.axis.none-stood-out"), events: []int{at}}
	case len(t.dials())+len(t.arrows())+len(t.blocks()) == 0 && t.end == nil:
		return judgement{missed: fact.New("reason.axis.not-reached")}
	case len(t.dials())+len(t.arrows())+len(t.blocks()) == 0:
		return judgement{findings: []Finding{t.dialMissing()}}
	}
	j := judgement{good: fact.New("reason.axis"), events: t.axisEvidence()}
	axis, has := t.finalAxis()
	switch {
	case has:
	case t.end != nil:
		return t.noCylinder()
	case !t.balancedSomewhere():
		return judgement{missed: fact.New("reason.axis.not-found")}
	default:
		j.good = fact.New("reason.axis.arrow")
		if len(t.dials()) == 0 {
			j.findings = append(j.findings, t.fanMissing())
		}
		return j
	}
	if len(t.dials()) == 0 {
		j.findings = append(j.findings, t.fanMissing())
	}
	if f, ok := t.wrongAxis(axis); ok {
		j.findings = append(j.findings, f)
		// The arrow may have been balanced all the same, where the dial sent it.
		if at, ok := t.deciding(); ok {
			if l, ok := label(t.moments[at].Answer); ok {
				axis = l
			}
		}
	}
	j.findings = append(j.findings, t.balancing(axis)...)
	return j
}

func (t *trace) axisEvidence() []int {
	var out []int
	if at, ok := t.deciding(); ok {
		out = append(out, at)
	}
	return append(out, t.arrows()...)
}

func (t axisWork) dialMissing() Finding {
	return finding("dial-missing", 1, []int{len(t.moments) - 1},
		"tested", t.setup.Tested, "objective", cylinder(t.objective), "cylinder", cylinder(t.truth))
}

func (t axisWork) fanMissing() Finding {
	e := append(t.arrows(), t.blocks()...)
	return finding("fan-missing", 0.5, e[:1])
}

// noCylinder is judged when none was stated though the eye has one that shows.
func (t axisWork) noCylinder() judgement {
	if !t.astigmatic() {
		return judgement{good: fact.New("reason.axis.no-cylinder"), events: t.axisEvidence()}
	}
	e := t.axisEvidence()
	if len(e) == 0 {
		e = []int{len(t.moments) - 1}
	}
	return judgement{findings: []Finding{finding("cylinder-missed", 1, e, "cylinder", cylinder(t.truth), "apart", fact.Amount(t.truth.Cyl))}}
}

// wrongAxis recognises two axes by name: the one along the clearest line, and
// the mirror image.
func (t axisWork) wrongAxis(axis float64) (Finding, bool) {
	if t.truth.Cyl == 0 {
		return Finding{}, false
	}
	if at, ok := t.deciding(); ok {
		if l, ok := label(t.moments[at].Answer); ok {
			if f, ok := t.alongLine(at, l, axis); ok {
				return f, true
			}
		}
	}
	stated := axis
	if rx := t.found(); rx.Cyl != 0 {
		stated = rx.Axis
	}
	mirrored := optics.PatientAngle(t.truth.Axis)
	if apart(stated, mirrored) > mirrorNear || apart(stated, t.truth.Axis) < mirrorAway {
		return Finding{}, false
	}
	off := apart(stated, t.truth.Axis)
	return finding("axis-mirrored", 1, t.axisEvents(stated),
		"axis", fact.Degrees(stated), "mirrored", fact.Degrees(mirrored), "cylinder", cylinder(t.truth),
		"off", fact.Degrees(off), "left", fact.Amount(crossed(t.truth.Cyl, off))), true
}

// crossed is the cylinder left over when one of a power is turned by so many
// degrees: 2 C sin t (Torgersen (2006)).
func crossed(cyl, degrees float64) float64 {
	return 2 * math.Abs(cyl) * math.Sin(degrees*math.Pi/180)
}

// alongLine recognises a cylinder set along the clearest line instead of across
// it; the label of the line is the axis across it.
func (t axisWork) alongLine(at int, label, final float64) (Finding, bool) {
	along := t.where(t.changes(), func(m *moment) bool {
		return m.N > at && m.marked.Cyl != 0 && apart(m.marked.Axis, label) >= acrossFrom && apart(m.marked.Axis, t.truth.Axis) > 45
	})
	if len(along) == 0 {
		return Finding{}, false
	}
	m := &t.moments[along[0]]
	f := finding("axis-along-line", 1, append([]int{at}, along...),
		"label", fact.Degrees(label), "cylinder", cylinder(m.marked),
		"before", fact.Amount(2*t.before(m.N).settled.Astigmatism()), "with", fact.Amount(2*m.settled.Astigmatism()))
	if apart(final, label) < acrossFrom {
		f.loses = 0.5 // it was put right
	}
	return f, true
}

// axisEvents are the events that gave the cylinder an axis.
func (t axisWork) axisEvents(axis float64) []int {
	e := t.where(t.changes(), func(m *moment) bool { return m.marked.Cyl != 0 && apart(m.marked.Axis, axis) < 1 })
	if len(e) > 0 {
		return e[:1]
	}
	return []int{len(t.moments) - 1}
}
