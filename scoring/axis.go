package scoring

import (
	"math"

	"conoid/cases"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// The rules of the axis, in degrees: the project's choice, by the steps in which
// axes are worked with. The fan has a line every ArrowStep, and half of the
// smallest usual turn, FineArrowStep, is as near as anybody sets an axis.
const (
	acrossFrom = 70 // an axis so far from the label of the clearest line lies along the line rather than across
	mirrorNear = 10 // so near to the mirror image of what was heard
	mirrorAway = 20 // and so far from what was heard
)

// axisWork judges the work on the axis, with a dial and the arrow.
type axisWork struct{ *trace }

// judgeAxis: the dial is asked about, its clearest line sets the axis, across
// it; the arrow is balanced there before the blocks give the power. Only an axis that
// the answers do not bear out needs a finding.
func (t axisWork) judgeAxis() (j judgement) {
	if t.end == nil || t.noneFound() {
		return j
	}
	dials, arrows, blocks := t.dials(), t.arrows(), t.blocks()
	if len(dials)+len(arrows)+len(blocks) == 0 {
		return judgement{findings: []Finding{t.dialMissing()}}
	}
	wrong, right := t.turns()
	astray := t.astray(wrong, right)
	switch axis, has := t.finalAxis(); {
	case t.found().Cyl == 0 && !t.borne(cases.CylinderClaim):
		if f, ok := t.putAlong(); ok {
			j.findings = append(j.findings, f)
		}
		j.findings = append(j.findings, t.cylinderMissed())
	case !has || t.borne(cases.AxisClaim):
	default:
		if f, ok := t.wrongAxis(); ok {
			j.findings = append(j.findings, f)
		}
		j.findings = append(j.findings, t.balancing(axis, astray)...)
	}
	if astray {
		j.findings = append(j.findings, t.turnedWrong(wrong))
	}
	if len(dials) == 0 {
		j.findings = append(j.findings, t.fanMissing())
	}
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
	return finding("dial-missing", 0, []int{len(t.moments) - 1},
		"tested", t.setup.Tested, "objective", cylinder(t.objective), "cylinder", cylinder(t.truth))
}

func (t axisWork) fanMissing() Finding {
	e := append(t.arrows(), t.blocks()...)
	return finding("fan-missing", 0, e[:1])
}

// cylinderMissed is when none was stated, and the answers do not say that there is
// none.
func (t axisWork) cylinderMissed() Finding {
	e := t.axisEvidence()
	if len(e) == 0 {
		e = []int{len(t.moments) - 1}
	}
	return finding("cylinder-missed", 0, e, "cylinder", cylinder(t.truth), "apart", fact.Amount(-t.truth.Cyl))
}

// wrongAxis recognises two axes by name, from what was heard: the one along the
// clearest line, and the mirror image.
func (t axisWork) wrongAxis() (Finding, bool) {
	stated := t.found().Axis
	heard, ok := t.heardAxis()
	if !ok {
		return Finding{}, false
	}
	mirrored := optics.PatientAngle(heard)
	along, mirror := apart(stated, heard) >= acrossFrom, apart(stated, mirrored) <= mirrorNear && apart(stated, heard) >= mirrorAway
	if !along && !mirror {
		return Finding{}, false
	}
	off := apart(stated, heard)
	f := finding("axis-mirrored", 0, t.axisEvents(stated),
		"axis", fact.Degrees(stated), "mirrored", fact.Degrees(mirrored), "heard", fact.Degrees(heard), "cylinder", cylinder(t.found()),
		"off", fact.Degrees(math.Round(off)), "left", fact.Amount(crossed(t.found().Cyl, off)))
	if along {
		f.ID = "axis-along-line"
		if mirror {
			f.Form = "or-mirrored" // near 45 and 135 the two are one axis
		}
	}
	return f, true
}

// putAlong recognises a cylinder that was tried along the clearest line and given up.
func (t axisWork) putAlong() (Finding, bool) {
	heard, ok := t.heardAxis()
	along := t.where(t.changes(), func(m *moment) bool { return m.marked.Cyl != 0 && apart(m.marked.Axis, heard) >= acrossFrom })
	if !ok || len(along) == 0 || along[0] < t.dials()[0] {
		return Finding{}, false
	}
	m := &t.moments[along[0]]
	return finding("axis-along-line", 0, along, "heard", fact.Degrees(heard), "cylinder", cylinder(m.marked), "axis", fact.Degrees(m.marked.Axis)), true
}

// heardAxis is the axis that the answers say.
func (t axisWork) heardAxis() (float64, bool) {
	if c := t.claim(cases.AxisClaim); c != nil && c.Fit != nil {
		return math.Round(*c.Fit), true
	}
	if at, ok := t.deciding(); ok {
		return label(t.moments[at].Answer)
	}
	return 0, false
}

// crossed is the cylinder left over when one of a power is turned by so many
// degrees: 2 C sin t (Torgersen (2006)).
func crossed(cyl, degrees float64) float64 {
	return 2 * math.Abs(cyl) * math.Sin(degrees*math.Pi/180)
}

// axisEvents are the events that gave the cylinder an axis.
func (t axisWork) axisEvents(axis float64) []int {
	e := t.where(t.changes(), func(m *moment) bool { return m.marked.Cyl != 0 && apart(m.marked.Axis, axis) < 1 })
	if len(e) > 0 {
		return e[:1]
	}
	return []int{len(t.moments) - 1}
}
