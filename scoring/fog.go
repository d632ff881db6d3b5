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

// judge looks at the fog and at its check together: they are one fault. When the dial
// decides, both focal lines stand in front of the retina, the back one 0.25 to
// 1.00 D (common practice), and while the arrow and the blocks are asked about it never
// falls behind. That can be known from the check alone, so that a wrong fog is a
// finding only when the check was left out or not heeded, or when no line could be
// told from the others.
func (t fogging) judge() (j judgement) {
	at, ok := t.fogged()
	if !ok {
		return j
	}
	m := &t.moments[at]
	check, unverified := t.unverified(at)
	f := check
	switch tooMuch := m.fog > method.MostFog+slack; {
	case m.fog < method.LeastFog-slack && check.ID == "fog-not-verified":
		f = t.fogTooLittle(m)
	case tooMuch && (check.ID == "fog-not-verified" || t.unseen(m)):
		f = t.fogTooMuch(m)
		unverified = true
	}
	if unverified {
		f.loses = 1
		j.findings = append(j.findings, f)
	}
	if m.fog < -slack {
		return j // it was never there to be lost
	}
	later := t.where(append(t.arrows(), t.blocks()...), func(l *moment) bool { return l.N > at && l.fog < -slack })
	if len(later) > 0 && !unverified {
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
	f := finding("fog-too-little", 1, []int{m.N},
		"lens", m.marked, "back", place(m.fog), "chart", m.State.Chart, "lines", lines(m.residual),
		"accommodation", fact.Amount(m.Accommodation), "change", toUsualFog(m), "usual", fact.Amount(method.UsualFog))
	if m.fog < -slack {
		f.Form = "behind"
	}
	return f
}

func (t fogging) fogTooMuch(m *moment) Finding {
	f := finding("fog-too-much", 1, []int{m.N},
		"lens", m.marked, "back", place(m.fog), "chart", m.State.Chart, "lines", lines(m.residual),
		"change", toUsualFog(m), "usual", fact.Amount(method.UsualFog))
	if t.unseen(m) {
		f.Form = "unseen"
	}
	return f
}

// unseen reports whether what was said could not be used at all: the fog hid the
// astigmatism.
func (t fogging) unseen(m *moment) bool {
	return t.astigmatic() && m.Answer != nil && m.Answer.Kind != patient.Lines && m.Action.Question == patient.WhichLines
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

// unverified is what there is to tell of the check of the fog, if it was left out or
// not heeded. A little more plus must make the clearest line worse, or leave
// the same line clearest (common practice). It is worth asking through the
// sphere that is used, or a weaker one: what blurs there blurs here. Who comes down
// from more fog with the same line named has seen as much.
func (t fogging) unverified(at int) (Finding, bool) {
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
	switch {
	case len(seen) > 0:
		return Finding{}, false
	case len(refused) > 0:
		m := &t.moments[refused[0]]
		return finding("fog-check-unheeded", 1, refused, "answer", said(m.Answer), "lines", lines(m.residual)), true
	}
	return finding("fog-not-verified", 1, []int{at}, "back", place(used)), true
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
		if ok && too && apart(x, y) <= otherLines && (isLittle(b.fog-a.fog) || isLittle(a.fog-b.fog)) {
			out = append(out, look{dials[n], min(a.fog, b.fog), patient.Lines})
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
