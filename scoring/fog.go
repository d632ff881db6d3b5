package scoring

import (
	"fmt"

	"conoid/cases"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// leastCylinder is the weakest cylinder, in dioptres, that shows on a dial.
const leastCylinder = cases.Faintest

// judgeFog: when the dial decides, both focal lines stand in front of the
// retina, the back one 0.25 to 1.00 D (common practice), and while the arrow and
// the blocks are asked about it never falls behind. That is looked at with
// accommodation relaxed; whatever it is, accommodation only blurs then.
func (t *trace) judgeFog() judgement {
	at, ok := t.fogged()
	if !ok {
		return judgement{missed: "Neither a dial nor the arrow nor the blocks were asked about."}
	}
	m := &t.moments[at]
	j := judgement{good: fmt.Sprintf("When the %s asked about, the back focal line stood %s.", m.chartWas(), place(m.fog)), events: []int{at}}
	switch {
	case m.fog < cases.LeastFog-slack:
		j.findings = append(j.findings, t.fogTooLittle(m))
	case m.fog > cases.MostFog+slack:
		j.findings = append(j.findings, t.fogTooMuch(m))
	}
	if m.fog < -slack {
		return j // it was never there to be lost
	}
	later := t.where(append(t.arrows(), t.blocks()...), func(l *moment) bool { return l.N > at && l.fog < -slack })
	if len(later) > 0 {
		j.findings = append(j.findings, t.fogLost(later))
	}
	return j
}

// fogged is the question at which the fog counts: the deciding one about a dial,
// or else the first about the arrow or the blocks.
func (t *trace) fogged() (int, bool) {
	if at, ok := t.deciding(); ok {
		return at, true
	}
	return first(t.arrows(), t.blocks())
}

func first(lists ...[]int) (int, bool) {
	for _, l := range lists {
		if len(l) > 0 {
			return l[0], true
		}
	}
	return 0, false
}

func (t *trace) fogTooLittle(m *moment) Finding {
	f := Finding{
		ID: "fog-too-little", Title: "Too little fog", Events: []int{m.N}, loses: 0.5,
		What:   fmt.Sprintf("With %s in the frame the back focal line stood %s when the %s asked about.", m.marked, place(m.fog), m.chartWas()),
		Optics: "With accommodation relaxed, " + lines(m.residual) + "; the eye accommodated " + plainPower(m.Accommodation) + " D. An eye that can accommodate chooses which line to look at, and its answers wander.",
		Better: fmt.Sprintf("Add plus until a little more makes the clearest line worse: %s more brings the back line half a dioptre in front.", signed(round25(cases.UsualFog-m.fog))),
	}
	if m.fog < -slack {
		f.loses = 1
		f.Optics = "With accommodation relaxed, " + lines(m.residual) + "; the eye accommodated " + plainPower(m.Accommodation) + " D. The line nearest to the retina need not be the back one: what looks clearest can be 90 degrees from it, or change while it is looked at."
	}
	return f
}

func (t *trace) fogTooMuch(m *moment) Finding {
	f := Finding{
		ID: "fog-too-much", Title: "Too much fog", Events: []int{m.N}, loses: 0.5,
		What:   fmt.Sprintf("With %s in the frame the back focal line stood %s when the %s asked about.", m.marked, place(m.fog), m.chartWas()),
		Optics: "With accommodation relaxed, " + lines(m.residual) + ". So far out all lines are blurred, and the difference between them fades.",
		Better: fmt.Sprintf("Take plus off a quarter at a time, and ask again: %s leaves half a dioptre of fog.", signed(round25(cases.UsualFog-m.fog))),
	}
	// What was said could not be used at all: the fog hid the astigmatism.
	if t.astigmatic() && m.Answer != nil && m.Answer.Kind != patient.Lines && m.Action.Question == patient.WhichLines {
		f.loses = 1
		f.What += " The patient could not tell a line from the others."
	}
	return f
}

func (t *trace) fogLost(later []int) Finding {
	m := &t.moments[later[0]]
	return Finding{
		ID: "fog-lost", Title: "The fog was lost before the arrow and the blocks were done", Events: later, loses: 0.5,
		What:   fmt.Sprintf("After the dial the sphere was changed, and the %s asked about with %s in the frame.", m.chartWas(), m.marked),
		Optics: "With accommodation relaxed, " + lines(m.residual) + "; the sphere alone puts the back line " + place(m.fog) + ". The two blocks then compare what accommodation makes of them.",
		Better: "After a change of the sphere, fog again before you go on.",
	}
}

// round25 rounds to the step of the trial lenses.
func round25(d float64) float64 { return optics.Rx{Sphere: d}.Round(0.25).Sphere }

// look is a comparison with more plus, the cylinder out.
type look struct {
	event int
	fog   float64 // before the plus was added
	kind  patient.Kind
}

// judgeVerify: a little more plus must make the clearest line worse, or leave
// the same line clearest (common practice). It is worth asking through the
// sphere that is used, or a weaker one: what blurs there blurs here.
func (t *trace) judgeVerify() judgement {
	at, ok := t.fogged()
	if !ok {
		return judgement{missed: "Neither a dial nor the arrow nor the blocks were asked about."}
	}
	used := t.moments[at].fog
	var seen, refused []int
	for _, l := range t.morePlus() {
		switch {
		case l.fog > used+slack:
		case l.kind == patient.Worse || l.kind == patient.Lines:
			seen = append(seen, l.event)
		case l.kind == patient.Better, used < cases.LeastFog-slack, used > cases.MostFog+slack:
			// It is heeded when the sphere was changed: then the fog used is another.
			if l.fog > used-slack {
				refused = append(refused, l.event)
			}
		default:
			seen = append(seen, l.event) // no difference seen, and the fog was right
		}
	}
	j := judgement{good: "The fog was verified: with more plus the clearest line was worse, or stayed the same line.", events: seen}
	switch {
	case len(seen) > 0:
	case len(refused) > 0:
		m := &t.moments[refused[0]]
		j.findings = append(j.findings, Finding{
			ID: "fog-check-unheeded", Title: "The check of the fog was not heeded", Events: refused, loses: 1,
			What:   fmt.Sprintf("More plus was shown and was not worse (“%s”), and the sphere was left as it was.", m.Answer.Kind),
			Optics: "Through it, with accommodation relaxed, " + lines(m.residual) + ".",
			Better: "When more plus does not make the clearest line worse, add it, and ask again; where nothing can be told apart, there is too much already: take some off.",
		})
	default:
		j.findings = append(j.findings, Finding{
			ID: "fog-not-verified", Title: "The fog was not verified", Events: []int{at}, loses: 1,
			What:   "Nobody asked whether a little more plus makes the clearest line worse.",
			Optics: fmt.Sprintf("The back focal line stood %s; from the answer about the lines alone nobody can know that.", place(used)),
			Better: "Hold +0.50 up: the clearest line must get worse, and stay the same line. Otherwise add plus.",
		})
	}
	return j
}

// morePlus are the comparisons with 0.25 to 0.75 D more plus, with the cylinder
// out or on a chart of lines: a lens held up, a change of the sphere, or the same dial asked about once
// more, where the same line must be named.
func (t *trace) morePlus() []look {
	var out []look
	for _, i := range t.asked(patient.WithLens) {
		m := &t.moments[i]
		if (m.plain() || isDial(m.State.Chart) || m.State.Chart == sitting.Arrow) && isLittle(m.frame.Held.Power) && m.frame.Held.Kind == optics.SphereLens {
			out = append(out, look{i, m.fog, m.Answer.Kind})
		}
	}
	for _, i := range t.where(t.asked(patient.OneOrTwo), (*moment).plain) {
		if k := t.lastChange(i); k > 0 && t.before(k).plain() && isLittle(t.moments[i].fog-t.before(k).fog) {
			out = append(out, look{i, t.before(k).fog, t.moments[i].Answer.Kind})
		}
	}
	dials := t.plainDials()
	for n := 1; n < len(dials); n++ {
		a, b := &t.moments[dials[n-1]], &t.moments[dials[n]]
		x, ok := label(a.Answer)
		y, too := label(b.Answer)
		if ok && too && apart(x, y) <= otherLines && isLittle(b.fog-a.fog) {
			out = append(out, look{dials[n], a.fog, patient.Lines})
		}
	}
	return out
}

// isLittle tells whether plus is as much as is added to verify a fog.
func isLittle(d float64) bool { return d > 0.25-slack && d < 0.75+slack }

// lastChange is the last event up to i that changed the cells of the frame; 0
// for none.
func (t *trace) lastChange(i int) int {
	for ; i > 0; i-- {
		switch t.moments[i].Action.Do {
		case sitting.Put, sitting.Take, sitting.Exchange, sitting.Turn:
			if t.moments[i].frame.Lenses != t.before(i).frame.Lenses {
				return i
			}
		}
	}
	return 0
}
