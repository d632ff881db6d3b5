// Package guide leads a student through the fan and block method. It sees what
// the student sees, the record, the frame, the charts and the answers, and
// never the truth.
//
// The order of the work and the rules in it are common practice; how many
// answers a step wants is the project's choice.
package guide

import (
	"fmt"

	"conoid/assets"
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
	Language  string // of the advice, as in assets.Languages; English when empty
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
		(*work).cylinder, (*work).blocks, (*work).confirm, (*work).sphere, (*work).colours,
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

// advice is the advice of a stage, with its title only.
func (w *work) advice(stage int, name string) Advice {
	return Advice{Stage: stage, Title: w.text(name)}
}

// text is a text of the guide in the student's language, with what is to be
// filled in.
func (w *work) text(name string, fill ...any) string {
	return fmt.Sprintf(assets.Label(w.Language, "advice."+name), fill...)
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
	a := w.advice(1, "cover")
	a.Text = w.text("cover.other")
	a.Write = []string{"cover " + string(other)}
	return a, true
}

func (w *work) vision() (Advice, bool) {
	for _, l := range w.looks {
		if l.question == patient.ReadLetters || isDial(l.chart) {
			return Advice{}, false
		}
	}
	a := w.advice(2, "vision")
	a.Text = w.text("vision.read")
	a.Write = w.reading("ask")
	return a, true
}
