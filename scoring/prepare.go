package scoring

import (
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// preparation judges how eyes, frame and lenses were handled.
type preparation struct{ *trace }

// judgeCover: while anything is asked the other eye is covered, and the tested
// one is not (common practice).
func (t preparation) judgeCover() judgement {
	asked := t.questions()
	tested, other := t.setup.Tested, t.setup.Tested.Other()
	j := judgement{}
	if blind := t.where(asked, func(m *moment) bool { return !m.sees }); len(blind) > 0 {
		j.findings = append(j.findings, finding("wrong-eye", 1, blind, "tested", tested, "other", other))
	}
	both := t.where(asked, func(m *moment) bool { return m.sees && m.fellow })
	if len(both) == 0 {
		return j
	}
	// One look at the letters with both eyes may be an oversight; an answer about
	// lines decides something.
	loses := 0.5
	if len(both) > 2 || len(t.where(both, func(m *moment) bool { return !m.State.Chart.Is(chart.LetterChart) })) > 0 {
		loses = 1
	}
	first := &t.moments[both[0]]
	j.findings = append(j.findings, finding("other-eye-open", loses, both,
		"questions", fact.Count(len(both)), "other", other, "lines", lines(t.inOther(first))))
	return j
}

// inOther is the residual of the other eye.
func (t preparation) inOther(m *moment) optics.Power {
	i := 1 - t.setup.Tested.Index()
	needs := optics.Required(t.setup.Eyes[i].Error, t.setup.Room.Vertex, sitting.TruthDistance)
	return m.State.Frames[i].AtCornea(t.setup.Room.Distance).Sub(needs)
}

// judgeCylinderOut: the dial is asked without a cylinder first; later on it may
// be shown again through one, as a check (common practice).
func (t preparation) judgeCylinderOut() judgement {
	dials, plain := t.dials(), t.plainDials()
	in := dials
	if len(plain) > 0 {
		in = t.where(dials, func(m *moment) bool { return !m.plain() && m.N < plain[0] })
	}
	if len(in) == 0 {
		return judgement{}
	}
	loses := 1.0
	if len(plain) > 0 {
		loses = 0.5 // it was put right
	}
	m := &t.moments[in[0]]
	rest := optics.Rx{Cyl: -2 * m.settled.Astigmatism(), Axis: optics.Axis(m.settled.Rx().Axis + 90)}
	return judgement{
		findings: []Finding{finding("cylinder-left-in", loses, in,
			"lens", m.marked, "cylinder", cylinder(t.truth), "left", cylinder(rest))},
	}
}

// cylinder is the cylinder of a prescription.
func cylinder(rx optics.Rx) fact.Fact {
	if rx.Cyl == 0 {
		return fact.New("cylinder.none")
	}
	return fact.New("cylinder.of", "power", fact.Power(rx.Cyl), "axis", fact.Degrees(rx.Axis))
}

// judgeLenses: a new plus lens goes in before the old one comes out, and an old
// minus lens comes out before the new one goes in, so that an eye that can
// accommodate is never given a reason to (common practice).
func (t preparation) judgeLenses() judgement {
	changes := t.changes()
	j := judgement{}
	var bad []int
	worst := 0.0
	for _, i := range changes {
		if d, ok := t.dip(i); ok {
			bad = append(bad, i)
			worst = min(worst, d)
		}
	}
	// An eye that cannot accommodate so much is not led to do it.
	if amplitude := t.setup.Eyes[t.setup.Tested.Index()].Amplitude; len(bad) == 0 || amplitude < leastEffort {
		return j
	}
	j.findings = append(j.findings, finding("minus-first", 1, bad, "exchanges", fact.Count(len(bad)), "middle", place(worst)))
	return j
}

// leastEffort is the accommodation, in dioptres, that matters: the step of the
// trial lenses. leastDip is how much less plus than before and after counts as
// missing: more than a step, for a step is what unfogging is made of. The
// project's choice.
const (
	leastEffort = 0.25
	leastDip    = 0.30
)

// changes are the events that changed what stands in the cells of the tested
// eye.
func (t *trace) changes() []int {
	var out []int
	for i := 1; i < len(t.moments); i++ {
		if t.moments[i].frame.Lenses != t.before(i).frame.Lenses {
			out = append(out, i)
		}
	}
	return out
}

// dip reports whether the change of event i left plus missing in between: the
// spherical equivalent of the residual there, which called for accommodation.
func (t preparation) dip(i int) (float64, bool) {
	was, now := t.before(i), &t.moments[i]
	var between float64
	a := now.Action
	switch {
	case a.Do == sitting.Exchange && (a.OldFirst || a.NewFirst):
		between = t.against(midway(was.frame, now.frame, a)).M
	case i+1 < len(t.moments) && opposite(a, t.moments[i+1].Action):
		between = now.settled.M
		now = &t.moments[i+1]
	default:
		return 0, false
	}
	return between, between < -leastEffort && between < min(was.settled.M, now.settled.M)-leastDip
}

// opposite reports whether one lens comes out and another goes in, in two steps.
func opposite(a, b sitting.Action) bool {
	return a.Eye == b.Eye && (a.Do == sitting.Take && b.Do == sitting.Put || a.Do == sitting.Put && b.Do == sitting.Take)
}

// midway is the frame in the middle of an exchange.
func midway(was, now optics.Frame, a sitting.Action) optics.Frame {
	cell, named := a.Cell.Cell()
	if !named {
		return now
	}
	mid := withoutHeld(was)
	if a.OldFirst {
		mid.Lenses[cell] = optics.Lens{}
		return mid
	}
	mid.Held = now.Lenses[cell]
	return mid
}
