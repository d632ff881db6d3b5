package guide

import (
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// unfogging takes the fog off and finds the sphere, behind the cylinder that is
// in now.
type unfogging struct{ *work }

// sphere takes the fog off again: a quarter less plus as long as that is really
// clearer.
func (w unfogging) sphere() (Advice, bool) {
	a := Advice{Stage: 8, Title: fact.New("advice.sphere")}
	now := w.sphereNow()
	read := ask(patient.ReadLetters)
	from, begun := w.fogRead()
	to := w.clearTo(from)
	lower := to - method.SphereStep
	switch {
	case !begun:
		a.Text = fact.New("advice.sphere.read")
		a.Do = w.on(chart.Letters, read)
	case !w.judged(lower):
		a.Text = fact.New("advice.sphere.quarter")
		a.Do = w.on(chart.Letters, ask(patient.OneOrTwo))
		if now != lower {
			a.Do = w.on(chart.Letters, w.add(lower-now), ask(patient.OneOrTwo))
		}
	case now == lower && !w.readAt(lower):
		a.Text = fact.New("advice.sphere.letters")
		a.Do = w.on(chart.Letters, read, w.add(method.SphereStep), read)
	case now != to || !w.readAt(to):
		a.Text = fact.New("advice.sphere.back")
		a.Do = w.on(chart.Letters, read)
		if now != to {
			a.Do = w.on(chart.Letters, w.add(to-now), read)
		}
	default:
		return Advice{}, false
	}
	return a, true
}

// fogRead is the most plus through which letters were read with the cylinder
// that is in now.
func (w unfogging) fogRead() (sphere float64, ok bool) {
	for _, l := range w.looks {
		if l.question == patient.ReadLetters && w.alike(l) && (!ok || sphereOf(l.frame) > sphere) {
			sphere, ok = sphereOf(l.frame), true
		}
	}
	return sphere, ok
}

// alike reports whether an answer was about the cylinder that is in now.
func (w unfogging) alike(l look) bool {
	return l.frame.Held.Kind == optics.NoLens && sameCylinders(l.frame, w.frame)
}

// sameCylinders reports whether the same cylinder stands in two frames, or none.
func sameCylinders(f, g optics.Frame) bool {
	a, b := cylinders(f), cylinders(g)
	return len(a) == len(b) && (len(a) == 0 || a[0] == b[0])
}

// colours has red and green compared, where the acuity allows it.
func (w unfogging) colours() (Advice, bool) {
	v, ok := w.acuityNow()
	if !ok || v > method.DuochromeLimit {
		return Advice{}, false
	}
	for _, l := range w.looks {
		if l.question == patient.WhichColour && w.alike(l) && sphereOf(l.frame) == w.sphereNow() {
			return Advice{}, false
		}
	}
	return Advice{
		Stage: 8, Title: fact.New("advice.sphere"), Text: fact.New("advice.sphere.colours"),
		Do: w.on(chart.Duochrome, ask(patient.WhichColour)),
	}, true
}

// verdictOn is what the patient said last of a step down to a sphere.
func (w unfogging) verdictOn(sphere float64) (answer patient.Answer, ok bool) {
	for _, l := range w.looks {
		if l.question == patient.OneOrTwo && w.alike(l) && sphereOf(l.frame) == sphere && l.chart == chart.Letters {
			answer, ok = l.answer, true
		}
	}
	return answer, ok
}

func (w unfogging) judged(sphere float64) bool {
	_, ok := w.verdictOn(sphere)
	return ok
}

// worthwhile is the gain in logMAR that makes a quarter of a dioptre worth
// giving whatever the patient says of it: a row of the chart.
const worthwhile = 0.10

// clearTo is how far down from a sphere every quarter was a gain: called
// clearer, or with a row more read while less is read than at the beginning.
func (w unfogging) clearTo(sphere float64) float64 {
	read := w.acuities()
	for {
		answer, _ := w.verdictOn(sphere - method.SphereStep)
		before, ok1 := read[sphere]
		after, ok2 := read[sphere-method.SphereStep]
		row := ok1 && ok2 && before-after > worthwhile-1e-6 && before > w.firstVision()
		if !accepts(answer, -method.SphereStep) && !row {
			return sphere
		}
		sphere -= method.SphereStep
	}
}

// firstVision is the acuity through the objective result, as logMAR; as bad as
// can be if it was not measured.
func (w unfogging) firstVision() float64 {
	for _, l := range w.looks {
		if l.answer.Kind == patient.Read && l.frame.Lenses == start(w.Objective) {
			return l.answer.LogMAR
		}
	}
	return unreadable
}

// unreadable stands for an acuity when nothing is read, logMAR.
const unreadable = 1.1

// acuities are those that were read through the cylinder that is in now, by
// sphere; nothing read is as bad as can be.
func (w unfogging) acuities() map[float64]float64 {
	out := map[float64]float64{}
	for _, l := range w.looks {
		if l.question != patient.ReadLetters || !w.alike(l) {
			continue
		}
		out[sphereOf(l.frame)] = unreadable
		if l.answer.Kind == patient.Read {
			out[sphereOf(l.frame)] = l.answer.LogMAR
		}
	}
	return out
}

func (w unfogging) readAt(sphere float64) bool {
	_, ok := w.acuities()[sphere]
	return ok
}

// acuityNow is the last acuity through the lenses that stand in the frame.
func (w *work) acuityNow() (logMAR float64, ok bool) {
	for _, l := range w.looks {
		if l.question == patient.ReadLetters && l.answer.Kind == patient.Read && l.frame == w.frame {
			logMAR, ok = l.answer.LogMAR, true
		}
	}
	return logMAR, ok
}

// uneven reports whether red or green was the clearer through the lenses that stand in the
// frame.
func (w *work) uneven() (is bool) {
	for _, l := range w.looks {
		if l.question == patient.WhichColour && l.frame == w.frame {
			is = l.answer.Kind == patient.RedClearer || l.answer.Kind == patient.GreenClearer
		}
	}
	return is
}

// end states the end point.
func (w *work) end() Advice {
	rx := w.frame.Prescription()
	a := Advice{Stage: 9, Title: fact.New("advice.end"), Text: fact.New("advice.end.frame", "rx", rx)}
	state := sitting.Action{Do: sitting.End, Rx: &rx}
	if v, ok := w.acuityNow(); ok {
		state.Acuity = patient.FractionOf(v)
		if v > method.DuochromeLimit {
			a.Text = fact.New("advice.end.blurred", "end", a.Text, "row", fact.Row(method.DuochromeLimit))
		} else if w.uneven() {
			a.Text = fact.New("advice.end.uneven", "end", a.Text)
		}
	}
	a.Do = []sitting.Action{state}
	return a
}
