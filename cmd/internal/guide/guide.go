// Package guide leads a student through the fan and block method. It sees what
// the student sees, the record, the frame, the charts and the answers, and
// never the truth.
//
// The order of the work and the rules in it are common practice; how many
// answers a step wants is the project's choice.
package guide

import (
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Stages is the number of stages of the method.
const Stages = 9

// Advice is the next step.
type Advice struct {
	Stage int // 1 to Stages
	Title string
	Text  string   // what to do, and why
	Write []string // the commands for it, in order
}

// View is what the student knows.
type View struct {
	Tested    sitting.Side
	Objective optics.Rx
	Set       optics.TrialSet
	Labels    chart.Labels
	State     sitting.State
	Events    []sitting.Event
}

// ViewOf is what the student at a sitting knows.
func ViewOf(s *sitting.Sitting) View {
	setup := s.Setup()
	return View{
		Tested:    setup.Tested,
		Objective: setup.Eyes[setup.Tested.Index()].Objective.MinusCyl(),
		Set:       setup.Room.Set,
		Labels:    setup.Room.Labels,
		State:     s.State(),
		Events:    s.Events(),
	}
}

// Next is the next step: the first stage that is not done yet.
func Next(v View) Advice {
	w := read(v)
	for _, stage := range []func(*work) (Advice, bool){
		(*work).cover, (*work).vision, (*work).fog, (*work).fan, (*work).arrow,
		(*work).cylinder, (*work).blocks, (*work).sphere,
	} {
		if a, wanted := stage(w); wanted {
			return a
		}
	}
	return w.end()
}

// work is what was found so far.
type work struct {
	View
	frame optics.Frame // of the tested eye, now
	looks []look       // every answer, with what it was about
}

func (w *work) sphereNow() float64 { return sphereOf(w.frame) }

// sphereOf is the sum of the spheres in a frame.
func sphereOf(f optics.Frame) (sum float64) {
	for _, l := range f.Lenses {
		if l.Kind == optics.SphereLens {
			sum += l.Power
		}
	}
	return sum
}

// cylinders are the cylinders in a frame.
func cylinders(f optics.Frame) (out []optics.Lens) {
	for _, l := range f.Lenses {
		if l.Kind == optics.CylinderLens {
			out = append(out, l)
		}
	}
	return out
}

func (w *work) cover() (Advice, bool) {
	other := w.Tested.Other()
	if w.State.Covered[other.Index()] {
		return Advice{}, false
	}
	return Advice{1, "Cover the other eye", "So that only the eye that you test can answer.", []string{"cover " + string(other)}}, true
}

func (w *work) vision() (Advice, bool) {
	for _, l := range w.looks {
		if l.question == patient.ReadLetters || isDial(l.chart) {
			return Advice{}, false
		}
	}
	a := Advice{2, "Measure the vision", "Read the letters through the objective result: whatever you find in the end must be at least as good.", w.reading("ask")}
	return a, true
}
