// Package guide leads a student through the fan and block method. It sees what
// the student sees, the record, the frame, the charts and the answers, and
// never the truth.
//
// The order of the work and the rules in it are common practice; how many
// answers a step wants is the project's choice.
package guide

import (
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Stages is the number of stages of the method.
const Stages = 9

// Advice is the next step.
type Advice struct {
	Stage int // 1 to Stages
	Title fact.Fact
	Text  fact.Fact        // what to do, and why
	Do    []sitting.Action // in order; where none is named, the eye is the tested one
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

// Chair is where the patient sits, here or elsewhere: how things stand, and what
// was done and answered.
type Chair interface {
	State() sitting.State
	Events() []sitting.Event
}

// ViewOf is what the student at a chair knows who was told which eye to test, its
// objective result and what the room has.
func ViewOf(c Chair, tested sitting.Side, objective optics.Rx, room sitting.Room) View {
	return View{
		Tested:    tested,
		Objective: objective.MinusCyl(),
		Set:       room.Set,
		Labels:    room.Labels,
		State:     c.State(),
		Events:    c.Events(),
	}
}

// Next is the next step: the first stage that is not done yet.
func Next(v View) Advice {
	w := read(v)
	axis := axisSearch{w}
	fog, power, sphere := fogging{w, axis}, powerSearch{w, axis}, unfogging{w}
	for _, stage := range []func() (Advice, bool){
		w.cover, w.vision, fog.fog, fog.fan, axis.arrow,
		power.cylinder, power.blocks, power.confirm, sphere.sphere, sphere.colours,
	} {
		if a, wanted := stage(); wanted {
			return a
		}
	}
	return w.end()
}

// work is the record of what was seen so far, which every stage reads.
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
	return Advice{
		Stage: 1, Title: fact.New("advice.cover"), Text: fact.New("advice.cover.other"),
		Do: []sitting.Action{{Do: sitting.Cover, Eye: other}},
	}, true
}

func (w *work) vision() (Advice, bool) {
	for _, l := range w.looks {
		if l.question == patient.ReadLetters || l.chart.Is(chart.DialChart) {
			return Advice{}, false
		}
	}
	return Advice{
		Stage: 2, Title: fact.New("advice.vision"), Text: fact.New("advice.vision.read"),
		Do: w.on(chart.Letters, ask(patient.ReadLetters)),
	}, true
}
