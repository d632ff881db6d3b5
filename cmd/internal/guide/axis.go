package guide

import (
	"math"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// axisSearch finds the axis: with the arrow, from the lines that a dial gave.
type axisSearch struct{ *work }

// flat reports whether there is no astigmatism to be found on the dial: no line
// stood out through two different spheres, one of which was seen to fog, or the
// arrow's limbs are alike wherever it points.
func (w axisSearch) flat() bool {
	spheres, fogs := map[float64]bool{}, false
	for _, l := range w.looks {
		if l.question != patient.WhichLines || !l.chart.Is(chart.DialChart) || len(cylinders(l.frame)) > 0 {
			continue
		}
		switch l.answer.Kind {
		case patient.Alike:
			spheres[sphereOf(l.frame)] = true
			fogs = fogs || w.fogShown(sphereOf(l.frame)) && w.clears(sphereOf(l.frame))
		case patient.Lines:
			clear(spheres)
			fogs = false
		}
	}
	if b, _, ok := w.limbs(); ok && b.span() >= method.WidestAlike {
		return true
	}
	return fogs && len(spheres) > 1
}

// settled reports whether the work on the dial is over: the axis is found, or
// there is none.
func (w axisSearch) settled() bool {
	_, found := w.axisFound()
	return found || w.flat()
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
func (w axisSearch) fineStep() int {
	if w.Objective.Cyl <= -method.StrongCylinder {
		return method.FineArrowStep
	}
	return method.ArrowStep
}

// limbs closes in on the label at which the arrow's limbs are alike, counted
// from the line that was called clearest.
func (w axisSearch) limbs() (b bracket, from int, ok bool) {
	for _, l := range w.looks {
		plain := len(cylinders(l.frame)) == 0
		switch {
		case plain && l.question == patient.WhichLines && l.answer.Kind == patient.Lines && l.frame.Held.Kind == optics.NoLens:
			from, ok, b = clearest(l.answer), true, bracket{}
		case !ok || !plain || l.question != patient.WhichLimb:
		default:
			v := int(optics.AxisDifference(float64(from), float64(l.pointer)))
			if way, ok := method.Turn(l.answer.Kind); ok {
				b.add(v, way)
			}
		}
	}
	return b, from, ok
}

// axisFound is the axis that the arrow has found.
func (w axisSearch) axisFound() (axis int, found bool) {
	b, from, ok := w.limbs()
	v, found := b.next(method.ArrowStep, w.fineStep())
	return int(optics.Axis(float64(from + v))), ok && found && b.span() < method.WidestAlike
}

func (w axisSearch) arrow() (Advice, bool) {
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
		a.Text = w.towards("advice.arrow.right")
	case last.answer.Kind == patient.Right:
		a.Text = w.towards("advice.arrow.left")
	case last.answer.Kind == patient.Alike || last.answer.Kind == patient.Unsure:
		a.Text = fact.New("advice.arrow.alike")
	default:
		a.Text = fact.New("advice.again")
		to = last.pointer
	}
	a.Do = w.on(chart.Arrow, append(w.point(to), ask(patient.WhichLimb))...)
	if asked && last.pointer != to && asks(a.Do) {
		a.Text = fact.New("advice.compare")
	}
	return a, true
}

// towards says which way the arrow is turned, and what its reading does.
func (w axisSearch) towards(id string) fact.Fact {
	if w.Labels == chart.ByHour {
		id += ".hours"
	}
	return fact.New(id)
}

// fromDial sends the arrow to the clearest lines. On a dial that is not marked by
// axis it reminds how a label is read off.
func (w axisSearch) fromDial(label int) fact.Fact {
	if w.Labels == chart.ByAxis {
		return fact.New("advice.arrow.from", "label", fact.Label(label))
	}
	return fact.New("advice.arrow.from.hours", "label", fact.Label(label), "axis", fact.Degrees(label))
}

// dialled is the number of the last event in which a dial gave lines.
func (w axisSearch) dialled() (n int) {
	for _, l := range w.looks {
		if l.question == patient.WhichLines && l.answer.Kind == patient.Lines {
			n = l.n
		}
	}
	return n
}
