package sitting

import (
	"maps"
	"slices"

	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Bench is the examiner's side of a sitting: trial frames and lenses, the
// occluder, the chart, the record card, steps and simulated time. It knows
// nothing of the eyes, so that it can be where the patient is not. Index 0 of a
// pair is the right eye, 1 the left. It is not for use by two goroutines at
// once.
type Bench struct {
	tested   Side
	set      optics.TrialSet
	state    State // Rows are what was hung
	steps    [2]Steps
	ends     [2]*EndPoint
	last     Action  // that was accepted
	changes  int     // of lenses in cells; an unbroken turn is one
	changeAt float64 // simulated seconds when what stands before an eye last changed
}

// startPointer is where the arrow points when it is first shown: straight up.
const startPointer = 180

// NewBench lays the bench for an examination of the eye that is tested. The
// frames hold the objective results; both eyes are open and no chart is shown.
func NewBench(tested Side, objective [2]optics.Rx, room Room) *Bench {
	b := &Bench{tested: tested, set: room.Set, state: State{Pointer: startPointer, Card: map[Field]string{}}}
	for i, rx := range objective {
		b.state.Frames[i] = frameOf(rx, room.Vertex)
	}
	return b
}

// frameOf is the frame with a result in it: the sphere in the back cell, the
// minus cylinder before it.
func frameOf(rx optics.Rx, vertex float64) optics.Frame {
	f := optics.NewFrame(vertex)
	rx = rx.MinusCyl()
	if rx.Sphere != 0 {
		f.Lenses[optics.Back] = optics.SphereOf(rx.Sphere)
	}
	if rx.Cyl != 0 {
		f.Lenses[optics.Front1] = optics.CylinderOf(rx.Cyl, rx.Axis)
	}
	return f
}

// Do carries out an action as far as it is the examiner's: a question takes the
// usual time, and its answer comes from the patient, who may be slower: see
// [Bench.Clock]. What is returned is the action
// with all that was left to be understood. The error is a *Refusal when the
// action makes no sense now, as it is of [Sitting.Do].
func (b *Bench) Do(a Action) (Action, error) {
	a, err := b.accept(a)
	if err != nil {
		return Action{}, err
	}
	unseen := func(float64) {}
	b.apply(a, unseen)
	b.listen(a, 0, unseen)
	return a, nil
}

// accept is the action as it is understood, or refuses it.
func (b *Bench) accept(a Action) (Action, error) {
	if _, over := b.EndPoint(b.tested); over {
		return a, refuse(fact.New("sitting.over"))
	}
	if a.Eye == "" && a.Do.hasEye() {
		a.Eye = b.tested
	}
	a, err := b.check(a)
	return a.only(), err
}

// Hang takes in the letters that are in view, which only the patient's side
// knows. They hang until a chart is shown, be it the same.
func (b *Bench) Hang(rows []patient.RowRead) { b.state.Rows = slices.Clone(rows) }

// Clock takes in what time an event was over, in simulated seconds, which only
// the patient's side knows: how long an answer takes is the patient's.
func (b *Bench) Clock(at float64) { b.state.Seconds = at }

// State is how things stand.
func (b *Bench) State() State {
	out := b.state
	out.Card = maps.Clone(out.Card)
	out.Rows = slices.Clone(out.Rows)
	return out
}

// Steps counts all steps so far.
func (b *Bench) Steps() Steps { return b.steps[0].plus(b.steps[1]) }

// StepsOf counts the steps so far of the examination of an eye, those before
// its fellow included.
func (b *Bench) StepsOf(side Side) Steps { return b.steps[side.Index()] }

// EndPoint is what was stated at the end of the examination of an eye; false
// before.
func (b *Bench) EndPoint(side Side) (EndPoint, bool) {
	if end := b.ends[side.Index()]; end != nil {
		return *end, true
	}
	return EndPoint{}, false
}
