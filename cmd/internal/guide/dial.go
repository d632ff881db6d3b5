package guide

import (
	"math"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// fogged is the least sphere that fogs, by all that is known: the objective
// sphere and the usual fog, unless the patient said that more is needed, or
// that with less the lines can be told apart.
func (w *work) fogged() float64 {
	s := w.Objective.Sphere + method.UsualFog
	for _, l := range w.looks {
		if !l.chart.Is(chart.DialChart) || len(cylinders(l.frame)) > 0 {
			continue
		}
		held, at := l.frame.Held, sphereOf(l.frame)
		switch {
		case l.question == patient.WithLens && held.Power > 0 && l.answer.Kind != patient.Worse:
			s = max(s, at+held.Power)
		case l.question == patient.WhichLines && held.Kind == optics.NoLens && l.answer.Kind == patient.Blurred:
			s = min(s, at-2*method.SphereStep)
		case l.question == patient.WhichLines && held.Kind == optics.NoLens && l.answer.Kind == patient.Alike:
			s = min(s, at-method.SphereStep)
		}
	}
	return s
}

// fog takes the cylinder out and the patient into the fog.
func (w *work) fog() (Advice, bool) {
	if w.settled() {
		return Advice{}, false
	}
	a := Advice{Stage: 3, Title: fact.New("advice.fog")}
	if c := cylinders(w.frame); len(c) > 0 {
		a.Text = fact.New("advice.fog.cylinder")
		a.Do = []sitting.Action{w.take(c[0])}
		return a, true
	}
	wanted := w.fogged()
	if w.flat() {
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
func (w *work) fanLook() (last look, ok bool) {
	for _, l := range w.looks {
		if l.question == patient.WhichLines && l.chart.Is(chart.DialChart) && len(cylinders(l.frame)) == 0 &&
			l.frame.Held.Kind == optics.NoLens && sphereOf(l.frame) == w.sphereNow() {
			last, ok = l, true
		}
	}
	return last, ok
}

// overfogged reports whether no line stood out, or none could be seen, just now.
func (w *work) overfogged() bool {
	l, ok := w.fanLook()
	return ok && (l.answer.Kind == patient.Alike || l.answer.Kind == patient.Blurred)
}

// flat reports whether there is no astigmatism to be found on the dial: no line
// stood out through two different spheres, or the arrow's limbs are alike
// wherever it points.
func (w *work) flat() bool {
	spheres := map[float64]bool{}
	for _, l := range w.looks {
		if l.question != patient.WhichLines || !l.chart.Is(chart.DialChart) || len(cylinders(l.frame)) > 0 {
			continue
		}
		switch l.answer.Kind {
		case patient.Alike:
			spheres[sphereOf(l.frame)] = true
		case patient.Lines:
			clear(spheres)
		}
	}
	if b, _, ok := w.limbs(); ok && b.span() >= method.WidestAlike {
		return true
	}
	return len(spheres) > 1
}

// settled reports whether the work on the dial is over: the axis is found, or
// there is none.
func (w *work) settled() bool {
	_, found := w.axisFound()
	return found || w.flat()
}

func (w *work) fan() (Advice, bool) {
	if w.settled() {
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
	if l.answer.Kind != patient.Lines {
		a.Text = fact.New("advice.again.explain")
		a.Do = []sitting.Action{{Do: sitting.Explain}, ask(patient.WhichLines)}
		return a, true
	}
	if !w.fogShown() {
		a.Text = fact.New("advice.fan.confirm")
		a.Do = append(w.hold(), ask(patient.WithLens), lower())
		return a, true
	}
	if w.frame.Held.Kind != optics.NoLens {
		a.Text = fact.New("advice.fan.lower")
		a.Do = []sitting.Action{lower()}
		return a, true
	}
	return Advice{}, false
}

// fogShown reports whether more plus was seen to blur a dial through the sphere
// that is in now, or through less.
func (w *work) fogShown() bool {
	for _, l := range w.looks {
		if l.question == patient.WithLens && l.chart.Is(chart.DialChart) && l.frame.Held.Power > 0 &&
			l.answer.Kind == patient.Worse && sphereOf(l.frame) <= w.sphereNow() {
			return true
		}
	}
	return false
}

// clearest is the label in the middle of the lines that were called clearest.
func clearest(a patient.Answer) int {
	middle, ok := method.Middle(a.Lines)
	if !ok {
		middle = chart.LabelOf(a.Lines[0])
	}
	return int(optics.Axis(method.FineArrowStep * math.Round(middle/method.FineArrowStep)))
}

// fineStep is the last turn of the arrow, degrees.
func (w *work) fineStep() int {
	if w.Objective.Cyl <= -method.StrongCylinder {
		return method.FineArrowStep
	}
	return method.ArrowStep
}

// limbs closes in on the label at which the arrow's limbs are alike, counted
// from the line that was called clearest.
func (w *work) limbs() (b bracket, from int, ok bool) {
	for _, l := range w.looks {
		plain := len(cylinders(l.frame)) == 0
		switch {
		case plain && l.question == patient.WhichLines && l.answer.Kind == patient.Lines && l.frame.Held.Kind == optics.NoLens:
			from, ok, b = clearest(l.answer), true, bracket{}
		case !ok || !plain || l.question != patient.WhichLimb:
		default:
			v := int(optics.AxisDifference(float64(from), float64(l.pointer)))
			switch l.answer.Kind {
			case patient.Left: // the right limb is blurred: on to the right, where labels rise
				b.add(v, tooLow)
			case patient.Right:
				b.add(v, tooHigh)
			case patient.Alike, patient.Unsure:
				b.add(v, even)
			}
		}
	}
	return b, from, ok
}

// axisFound is the axis that the arrow has found.
func (w *work) axisFound() (axis int, found bool) {
	b, from, ok := w.limbs()
	v, found := b.next(method.ArrowStep, w.fineStep())
	return int(optics.Axis(float64(from + v))), ok && found && b.span() < method.WidestAlike
}

func (w *work) arrow() (Advice, bool) {
	if w.settled() {
		return Advice{}, false
	}
	a := Advice{Stage: 5, Title: fact.New("advice.arrow")}
	b, from, _ := w.limbs()
	v, _ := b.next(method.ArrowStep, w.fineStep())
	to := int(optics.Axis(float64(from + v)))
	last, asked := w.lastLook(patient.WhichLimb)
	switch {
	case !asked || last.n < w.dialled():
		a.Text = w.fromDial(from)
	case last.answer.Kind == patient.Left:
		a.Text = fact.New("advice.arrow.right")
	case last.answer.Kind == patient.Right:
		a.Text = fact.New("advice.arrow.left")
	case last.answer.Kind == patient.Alike || last.answer.Kind == patient.Unsure:
		a.Text = fact.New("advice.arrow.alike")
	default:
		a.Text = fact.New("advice.again")
		to = last.pointer
	}
	a.Do = w.on(chart.Arrow, append(w.point(to), ask(patient.WhichLimb))...)
	return a, true
}

// fromDial sends the arrow to the clearest lines. On a dial that is not marked by
// axis it reminds how a label is read off.
func (w *work) fromDial(label int) fact.Fact {
	if w.Labels == chart.ByAxis {
		return fact.New("advice.arrow.from", "label", fact.Degrees(label))
	}
	return fact.New("advice.arrow.from.hours", "label", fact.Degrees(label))
}

// dialled is the number of the last event in which a dial gave lines.
func (w *work) dialled() (n int) {
	for _, l := range w.looks {
		if l.question == patient.WhichLines && l.answer.Kind == patient.Lines {
			n = l.n
		}
	}
	return n
}

func (w *work) lastLook(q patient.Question) (last look, ok bool) {
	for _, l := range w.looks {
		if l.question == q {
			last, ok = l, true
		}
	}
	return last, ok
}
