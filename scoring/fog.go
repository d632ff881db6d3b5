package scoring

import (
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// fogging judges the fog and its check.
type fogging struct{ *trace }

// judgeFog: when the dial decides, both focal lines stand in front of the
// retina, the back one 0.25 to 1.00 D (common practice), and while the arrow and
// the blocks are asked about it never falls behind. That is looked at with
// accommodation relaxed; whatever it is, accommodation only blurs then.
func (t fogging) judgeFog() judgement {
	at, ok := t.fogged()
	if !ok {
		return judgement{missed: fact.New("reason.no-lines")}
	}
	m := &t.moments[at]
	j := judgement{good: fact.New("reason.fog", "chart", m.State.Chart, "back", place(m.fog)), events: []int{at}}
	switch {
	case m.fog < method.LeastFog-slack:
		j.findings = append(j.findings, t.fogTooLittle(m))
	case m.fog > method.MostFog+slack:
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
func (t fogging) fogged() (int, bool) {
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

func (t fogging) fogTooLittle(m *moment) Finding {
	f := finding("fog-too-little", 0.5, []int{m.N},
		"lens", m.marked, "back", place(m.fog), "chart", m.State.Chart, "lines", lines(m.residual),
		"accommodation", fact.Amount(m.Accommodation), "change", toUsualFog(m), "usual", fact.Amount(method.UsualFog))
	if m.fog < -slack {
		f.Form, f.loses = "behind", 1
	}
	return f
}

func (t fogging) fogTooMuch(m *moment) Finding {
	f := finding("fog-too-much", 0.5, []int{m.N},
		"lens", m.marked, "back", place(m.fog), "chart", m.State.Chart, "lines", lines(m.residual),
		"change", toUsualFog(m), "usual", fact.Amount(method.UsualFog))
	// What was said could not be used at all: the fog hid the astigmatism.
	if t.astigmatic() && m.Answer != nil && m.Answer.Kind != patient.Lines && m.Action.Question == patient.WhichLines {
		f.Form, f.loses = "unseen", 1
	}
	return f
}

func (t fogging) fogLost(later []int) Finding {
	m := &t.moments[later[0]]
	return finding("fog-lost", 0.5, later,
		"chart", m.State.Chart, "lens", m.marked, "lines", lines(m.residual), "back", place(m.fog))
}

// toUsualFog is the change of the sphere, in the step of the trial lenses, that
// brings the usual fog.
func toUsualFog(m *moment) fact.Power {
	return fact.Power(optics.Rx{Sphere: method.UsualFog - m.fog}.Round(method.SphereStep).Sphere)
}

// look is a comparison with more plus, the cylinder out.
type look struct {
	event int
	fog   float64 // before the plus was added
	kind  patient.Kind
}

// judgeVerify: a little more plus must make the clearest line worse, or leave
// the same line clearest (common practice). It is worth asking through the
// sphere that is used, or a weaker one: what blurs there blurs here.
func (t fogging) judgeVerify() judgement {
	at, ok := t.fogged()
	if !ok {
		return judgement{missed: fact.New("reason.no-lines")}
	}
	used := t.moments[at].fog
	var seen, refused []int
	for _, l := range t.morePlus() {
		switch {
		case l.fog > used+slack:
		case l.kind == patient.Worse || l.kind == patient.Lines:
			seen = append(seen, l.event)
		case l.kind == patient.Better, used < method.LeastFog-slack, used > method.MostFog+slack:
			// It is heeded when the sphere was changed: then the fog used is another.
			if l.fog > used-slack {
				refused = append(refused, l.event)
			}
		default:
			seen = append(seen, l.event) // no difference seen, and the fog was right
		}
	}
	j := judgement{good: fact.New("reason.verify"), events: seen}
	switch {
	case len(seen) > 0:
	case len(refused) > 0:
		m := &t.moments[refused[0]]
		j.findings = append(j.findings, finding("fog-check-unheeded", 1, refused, "answer", said(m.Answer), "lines", lines(m.residual)))
	default:
		j.findings = append(j.findings, finding("fog-not-verified", 1, []int{at}, "back", place(used)))
	}
	return j
}

// morePlus are the comparisons with 0.25 to 0.75 D more plus, with the cylinder
// out or on a chart of lines: a lens held up, a change of the sphere, or the same dial asked about once
// more, where the same line must be named.
func (t fogging) morePlus() []look {
	var out []look
	for _, i := range t.asked(patient.WithLens) {
		m := &t.moments[i]
		if (m.plain() || m.State.Chart.Is(chart.DialChart) || m.State.Chart.Is(chart.ArrowChart)) && isLittle(m.frame.Held.Power) && m.frame.Held.Kind == optics.SphereLens {
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

// isLittle reports whether plus is as much as is added to verify a fog.
func isLittle(d float64) bool {
	return d > method.LeastLittlePlus-slack && d < method.MostLittlePlus+slack
}

// lastChange is the last event up to i that changed the cells of the frame; 0
// for none.
func (t fogging) lastChange(i int) int {
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
