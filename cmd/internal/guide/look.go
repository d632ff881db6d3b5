package guide

import (
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// look is one answer of the tested eye, and what it was about.
type look struct {
	n        int
	frame    optics.Frame
	chart    chart.Name
	pointer  int
	question patient.Question
	answer   patient.Answer
}

// read goes through all events and gathers what was seen.
func read(v View) *work {
	w := &work{View: v, frame: optics.NewFrame(optics.UsualVertex)}
	w.frame.Lenses = start(v.Objective)
	now := look{pointer: 180}
	var covered [2]bool
	for _, e := range v.Events {
		a := e.Action
		switch a.Do {
		case sitting.Cover, sitting.Uncover:
			covered[a.Eye.Index()] = a.Do == sitting.Cover
		case sitting.Show:
			now.chart = a.Chart
		case sitting.Point:
			now.pointer = a.Axis
		}
		if a.Eye == v.Tested {
			change(&w.frame, a)
		}
		// To be shown it again is no answer: the question is still to be put.
		if e.Answer != nil && e.Answer.Kind != patient.Again && covered[v.Tested.Other().Index()] && !covered[v.Tested.Index()] {
			now.n, now.frame, now.question, now.answer = e.N, w.frame, a.Question, *e.Answer
			w.looks = append(w.looks, now)
		}
	}
	return w
}

// lastLook is the last answer to a question.
func (w *work) lastLook(q patient.Question) (last look, ok bool) {
	for _, l := range w.looks {
		if l.question == q {
			last, ok = l, true
		}
	}
	return last, ok
}

// start is the objective result as it stands in the frame at the beginning.
func start(rx optics.Rx) (lenses [optics.Cells]optics.Lens) {
	if rx.Sphere != 0 {
		lenses[optics.Back] = optics.SphereOf(rx.Sphere)
	}
	if rx.Cyl != 0 {
		lenses[optics.Front1] = optics.CylinderOf(rx.Cyl, rx.Axis)
	}
	return lenses
}

// change does to a frame what an action of the log did.
func change(f *optics.Frame, a sitting.Action) {
	switch a.Do {
	case sitting.Hold:
		f.Held = a.Lens
		return
	case sitting.Lower:
		f.Held = optics.Lens{}
		return
	case sitting.Put, sitting.Exchange, sitting.Take, sitting.Turn:
	default:
		return
	}
	cell, named := a.Cell.Cell()
	if !named {
		return
	}
	switch a.Do {
	case sitting.Turn:
		f.Lenses[cell].Axis = float64(a.Axis)
	case sitting.Take:
		f.Lenses[cell] = optics.Lens{}
	default:
		f.Lenses[cell] = a.Lens
	}
}
