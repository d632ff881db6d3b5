package guide

import (
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// fogging takes the cylinder out and the patient into the fog, and checks the
// fog on a dial. It is over when the search for the axis is.
type fogging struct {
	*work
	axis axisSearch
}

// fogged is the least sphere that fogs, by all that is known: the objective
// sphere and the usual fog, unless the patient said that more is needed, or
// that with less the lines can be told apart.
func (w fogging) fogged() float64 {
	s := w.Objective.Sphere + method.UsualFog
	for _, l := range w.looks {
		if !l.chart.Is(chart.DialChart) || len(cylinders(l.frame)) > 0 {
			continue
		}
		held, at := l.frame.Held, sphereOf(l.frame)
		switch {
		case held.Kind == optics.CylinderLens: // says nothing of the fog
		case l.question == patient.WithLens && held.Power > 0 && accepts(l.answer, held.Power):
			s = max(s, at+held.Power)
		case l.question == patient.WithLens && held.Power < 0 && !accepts(l.answer, held.Power):
			s = max(s, at-held.Power) // less plus clears nothing: there is no fog
		case l.question == patient.WhichLines && held.Kind == optics.NoLens && l.answer.Kind == patient.Blurred:
			s = min(s, at-2*method.SphereStep)
		case l.question == patient.WhichLines && held.Kind == optics.NoLens && l.answer.Kind == patient.Alike && w.fogShown(at) && w.clears(at):
			s = min(s, at-method.SphereStep)
		}
	}
	return s
}

// accepts reports whether an answer leaves the eye with a change of the sphere.
func accepts(a patient.Answer, plus float64) bool {
	accept, ok := method.Accept(a.Kind, plus)
	return accept && ok
}

// fog takes the cylinder out and the patient into the fog.
func (w fogging) fog() (Advice, bool) {
	if w.axis.settled() {
		return Advice{}, false
	}
	a := Advice{Stage: 3, Title: fact.New("advice.fog")}
	if c := cylinders(w.frame); len(c) > 0 {
		a.Text = fact.New("advice.fog.cylinder")
		a.Do = []sitting.Action{w.take(c[0])}
		return a, true
	}
	wanted := w.fogged()
	if w.axis.flat() {
		return Advice{}, false
	}
	by := wanted - w.sphereNow()
	switch {
	case by > 1e-6:
		a.Text = fact.New("advice.fog.plus", "fog", fact.Power(method.UsualFog))
	case by < -1e-6 && w.overfogged():
		a.Text = fact.New("advice.fog.less")
	default:
		return Advice{}, false
	}
	a.Do = []sitting.Action{w.add(by)}
	return a, true
}

// fanLook is the last answer about the lines of a dial through the sphere that
// stands in the frame now.
func (w fogging) fanLook() (last look, ok bool) {
	for _, l := range w.looks {
		if l.question == patient.WhichLines && l.chart.Is(chart.DialChart) && len(cylinders(l.frame)) == 0 &&
			l.frame.Held.Kind == optics.NoLens && sphereOf(l.frame) == w.sphereNow() {
			last, ok = l, true
		}
	}
	return last, ok
}

// overfogged reports whether no line stood out, or none could be seen, just now.
func (w fogging) overfogged() bool {
	l, ok := w.fanLook()
	return ok && (l.answer.Kind == patient.Alike || l.answer.Kind == patient.Blurred)
}

func (w fogging) fan() (Advice, bool) {
	if w.axis.settled() {
		return Advice{}, false
	}
	a := Advice{Stage: 4, Title: fact.New("advice.fan")}
	l, ok := w.fanLook()
	if !ok {
		a.Text = fact.New("advice.fan.ask")
		a.Do = []sitting.Action{show(chart.Fan), ask(patient.WhichLines)}
		if w.State.Chart.Is(chart.DialChart) {
			a.Do = a.Do[1:]
		}
		return a, true
	}
	if l.answer.Kind == patient.Alike && !w.fogShown(w.sphereNow()) {
		// Without fog the eye may see all lines alike, since it accommodates.
		a.Text = fact.New("advice.fan.confirm-alike")
		a.Do = append(w.hold(method.LittlePlus), ask(patient.WithLens), lower())
		return a, true
	}
	if l.answer.Kind == patient.Alike && !w.clears(w.sphereNow()) {
		a.Text = fact.New("advice.fan.less-alike")
		a.Do = append(w.hold(-method.LittlePlus), ask(patient.WithLens), lower())
		return a, true
	}
	if l.answer.Kind != patient.Lines {
		a.Text = fact.New("advice.again.explain")
		a.Do = []sitting.Action{{Do: sitting.Explain}, ask(patient.WhichLines)}
		return a, true
	}
	if !w.fogShown(w.sphereNow()) {
		a.Text = fact.New("advice.fan.confirm")
		a.Do = append(w.hold(method.LittlePlus), ask(patient.WithLens), lower())
		return a, true
	}
	if w.frame.Held.Kind != optics.NoLens {
		a.Text = fact.New("advice.fan.lower")
		a.Do = []sitting.Action{lower()}
		return a, true
	}
	return Advice{}, false
}

// fogShown reports whether more plus was seen to blur a dial through a sphere, or
// through less.
func (w *work) fogShown(sphere float64) bool {
	for _, l := range w.looks {
		if l.question == patient.WithLens && l.chart.Is(chart.DialChart) && l.frame.Held.Power > 0 &&
			l.answer.Kind == patient.Worse && sphereOf(l.frame) <= sphere {
			return true
		}
	}
	return false
}

// clears reports whether less plus was seen to clear a dial through a sphere, or
// through more: then there was fog.
func (w *work) clears(sphere float64) bool {
	for _, l := range w.looks {
		if l.question == patient.WithLens && l.chart.Is(chart.DialChart) && l.frame.Held.Kind == optics.SphereLens && l.frame.Held.Power < 0 &&
			accepts(l.answer, l.frame.Held.Power) && sphereOf(l.frame) >= sphere {
			return true
		}
	}
	return false
}
