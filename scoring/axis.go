package scoring

import (
	"fmt"
	"math"

	"conoid/sim/optics"
)

// The rules of the axis, in degrees: the project's choice, by the steps in which
// axes are worked with. The fan has a line every 10 degrees, and half of the
// smallest usual turn, 5, is as near as anybody sets an axis.
const (
	acrossFrom  = 70  // an axis so far from the label of the clearest line lies along the line rather than across
	mirrorNear  = 10  // so near to the mirror image of the truth
	mirrorAway  = 20  // and so far from the truth itself
	widestPair  = 10  // limbs that change sides between turns no further apart leave the axis between them
	nearAlike   = 10  // limbs alike so near to the axis used settle it
	besideAxis  = 2.5 // so near is the same axis
	nearOblique = 20  // lines so near to 45 degrees from the arrow
)

// judgeAxis: the dial is asked about, its clearest line sets the axis, across
// it; the arrow is balanced there before the blocks give the power.
func (t *trace) judgeAxis() judgement {
	switch {
	case t.noneFound():
		at, _ := t.deciding()
		return judgement{good: "No line stood out, and there is no cylinder that would: the work on the dial was over.", events: []int{at}}
	case len(t.dials())+len(t.arrows())+len(t.blocks()) == 0 && t.end == nil:
		return judgement{missed: "The sitting did not come to the axis."}
	case len(t.dials())+len(t.arrows())+len(t.blocks()) == 0:
		return judgement{findings: []Finding{t.dialMissing()}}
	}
	j := judgement{good: "The dial gave the axis, and the arrow was balanced there before the blocks.", events: t.axisEvidence()}
	axis, has := t.finalAxis()
	switch {
	case has:
	case t.end != nil:
		return t.noCylinder()
	case !t.balancedSomewhere():
		return judgement{missed: "The sitting did not come to an axis."}
	default:
		j.good = "The arrow was balanced."
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

func (t *trace) dialMissing() Finding {
	return Finding{
		ID: "dial-missing", Title: "No dial, arrow or blocks", loses: 1, Events: []int{len(t.moments) - 1},
		What:   fmt.Sprintf("The end point was stated without a question to the %s eye about a dial, the arrow or the blocks.", t.setup.Tested),
		Optics: fmt.Sprintf("The cylinder of the objective result, %s, was neither confirmed nor corrected; the eye has %s.", cylinder(t.objective), cylinder(t.truth)),
		Better: "Take the cylinder out, fog, and ask which lines are clearest.",
	}
}

func (t *trace) fanMissing() Finding {
	e := append(t.arrows(), t.blocks()...)
	return Finding{
		ID: "fan-missing", Title: "No dial before the arrow and the blocks", loses: 0.5, Events: e[:1],
		What:   "The arrow or the blocks were asked about, and never which lines of a dial are clearest.",
		Optics: "The limbs of the arrow are alike in two places, along the back focal line and along the front one, 90 degrees apart: only the dial tells which is which.",
		Better: "Ask about the fan first; its clearest line is where the arrow begins.",
	}
}

// noCylinder is judged when none was stated though the eye has one that shows.
func (t *trace) noCylinder() judgement {
	if !t.astigmatic() {
		return judgement{good: "There is no cylinder that would show, and none was given.", events: t.axisEvidence()}
	}
	e := t.axisEvidence()
	if len(e) == 0 {
		e = []int{len(t.moments) - 1}
	}
	return judgement{findings: []Finding{{
		ID: "cylinder-missed", Title: "The cylinder was missed", loses: 1, Events: e,
		What:   "No cylinder was stated.",
		Optics: fmt.Sprintf("The eye has %s: with a sphere alone its focal lines stand %s D apart.", cylinder(t.truth), plainPower(t.truth.Cyl)),
		Better: "When no line stands out, think of too much fog before you think of no astigmatism: take plus off a quarter at a time, and ask again.",
	}}}
}

// wrongAxis recognises two axes by name: the one along the clearest line, and
// the mirror image.
func (t *trace) wrongAxis(axis float64) (Finding, bool) {
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
	return Finding{
		ID: "axis-mirrored", Title: "The axis is mirrored", Events: t.axisEvents(stated), loses: 1,
		What:   fmt.Sprintf("The axis is %.0f; 180 less the axis of the eye is %.0f.", stated, mirrored),
		Optics: fmt.Sprintf("The eye has %s. %.0f degrees off, a cylinder of that power leaves %.2f D of astigmatism.", cylinder(t.truth), apart(stated, t.truth.Axis), crossed(t.truth.Cyl, apart(stated, t.truth.Axis))),
		Better: "The labels of the chart and the scale of the frame are both as the examiner sees them: take the label as it stands.",
	}, true
}

// crossed is the cylinder left over when one of a power is turned by so many
// degrees: 2 C sin t (Torgersen (2006)).
func crossed(cyl, degrees float64) float64 {
	return 2 * math.Abs(cyl) * math.Sin(degrees*math.Pi/180)
}

// alongLine recognises a cylinder set along the clearest line instead of across
// it; the label of the line is the axis across it.
func (t *trace) alongLine(at int, label, final float64) (Finding, bool) {
	along := t.where(t.changes(), func(m *moment) bool {
		return m.N > at && m.marked.Cyl != 0 && apart(m.marked.Axis, label) >= acrossFrom && apart(m.marked.Axis, t.truth.Axis) > 45
	})
	if len(along) == 0 {
		return Finding{}, false
	}
	m := &t.moments[along[0]]
	f := Finding{
		ID: "axis-along-line", Title: "The axis was set along the clearest line", Events: append([]int{at}, along...), loses: 1,
		What:   fmt.Sprintf("The clearest line was labelled %.0f, which is the axis of the minus cylinder; %s went in at axis %.0f.", label, signed(m.marked.Cyl), m.marked.Axis),
		Optics: fmt.Sprintf("The cylinder lies across the one that is needed and adds to the astigmatism: before it the focal lines stood %.2f D apart, with it %.2f D.", 2*t.before(m.N).settled.Astigmatism(), 2*m.settled.Astigmatism()),
		Better: "The axis of the minus cylinder lies across the clearest line: set what the label says.",
	}
	if apart(final, label) < acrossFrom {
		f.loses = 0.5 // it was put right
	}
	return f, true
}

// axisEvents are the events that gave the cylinder an axis.
func (t *trace) axisEvents(axis float64) []int {
	e := t.where(t.changes(), func(m *moment) bool { return m.marked.Cyl != 0 && apart(m.marked.Axis, axis) < 1 })
	if len(e) > 0 {
		return e[:1]
	}
	return []int{len(t.moments) - 1}
}
