// Package expert is an examiner who works by the book: fog, fan, arrow,
// blocks, checks, sphere. It has only what any examiner has: the objective
// result, the lenses, and what the patient says. It never sees the truth.
//
// [Examine] works through a sitting, or any other [Chair], from a [Brief], and
// gives what it found with its reasons.
package expert

import (
	"math"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Chair is where the patient sits: what an examiner can do and look at.
type Chair interface {
	Do(sitting.Action) (sitting.Event, error)
	State() sitting.State
}

// Brief is what the examiner is told before the sitting.
type Brief struct {
	Tested    sitting.Side
	Objective optics.Rx
	Set       optics.TrialSet
	Limits    // none, if not said
}

// BriefOf takes from a setup what an examiner may know.
func BriefOf(s sitting.Setup) Brief {
	return Brief{Tested: s.Tested, Objective: s.Eyes[s.Tested.Index()].Objective, Set: s.Room.Set}
}

// Finding is one event of the sitting and why it was brought about.
type Finding struct {
	Event sitting.Event
	Why   fact.Fact // absent when it only carries on with what was said before
}

// Result is what the examiner found.
type Result struct {
	Rx       optics.Rx
	LogMAR   float64 // acuity behind it
	Findings []Finding
	Doubts   []Doubt
}

// Doubt is the ID of something that did not go as the book says.
type Doubt string

// Name is the ID of the words for a doubt.
func (d Doubt) Name() string { return "doubt." + string(d) }

// examiner is the expert at work on one patient. A refused action is a mistake
// of the program: it stops the work through the panic that Examine catches.
type examiner struct {
	Brief
	chair  Chair
	found  []Finding
	doubts []Doubt
	why    fact.Fact
	sphere float64 // in the back cell, dioptres
	cyl    float64 // in the front cell, 0 for none
	axis   float64
	eased  int // how often the fog was eased for the blocks
}

type stopped struct{ err error }

// Examine works through a whole sitting and states the end point. The error is
// that of an action which was refused.
func Examine(c Chair, b Brief) (res *Result, err error) {
	b.Objective = b.Objective.MinusCyl()
	x := &examiner{Brief: b, chair: c, sphere: b.Objective.Sphere, cyl: b.Objective.Cyl, axis: b.Objective.Axis}
	defer func() {
		if r := recover(); r != nil {
			s, ok := r.(stopped)
			if !ok {
				panic(r)
			}
			res, err = nil, s.err
		}
	}()
	logMAR := x.examine()
	return &Result{Rx: x.result(), LogMAR: logMAR, Findings: x.found, Doubts: x.doubts}, nil
}

func (x *examiner) result() optics.Rx {
	if x.cyl == 0 {
		return optics.Rx{Sphere: x.sphere}
	}
	return optics.Rx{Sphere: x.sphere, Cyl: x.cyl, Axis: x.axis}
}

// examine is the method, in its order.
func (x *examiner) examine() float64 {
	x.say(fact.New("expert.cover", "tested", x.Tested))
	x.do(sitting.Action{Do: sitting.Cover, Eye: x.Tested.Other()})
	x.say(fact.New("expert.explain"))
	x.do(sitting.Action{Do: sitting.Explain})
	x.fog()
	if x.findAxis() {
		x.findCylinder()
	}
	logMAR := x.findSphere()
	x.say(fact.New("expert.end"))
	rx := x.result()
	x.do(sitting.Action{Do: sitting.End, Rx: &rx, Acuity: patient.AcuityOf(logMAR)})
	return logMAR
}

// say gives the reason for the actions that follow.
func (x *examiner) say(why fact.Fact) { x.why = why }

func (x *examiner) doubt(d Doubt) { x.doubts = append(x.doubts, d) }

func (x *examiner) do(a sitting.Action) sitting.Event {
	e, err := x.chair.Do(a)
	if err != nil {
		panic(stopped{fact.Because(err, "expert.stopped")})
	}
	x.found = append(x.found, Finding{e, x.why})
	x.why = fact.Fact{}
	return e
}

func (x *examiner) show(c chart.Name) {
	if c = x.Hang(c); x.chair.State().Chart != c {
		x.do(sitting.Action{Do: sitting.Show, Chart: c})
	}
}

// ask puts a question, and puts it once more to who wants to see it again.
func (x *examiner) ask(q patient.Question) patient.Answer {
	a := sitting.Action{Do: sitting.Ask, Question: q}
	answer := x.do(a).Answer
	if answer.Kind == patient.Again {
		x.say(fact.New("expert.again"))
		answer = x.do(a).Answer
	}
	return *answer
}

// with asks whether it is clearer with a lens held up.
func (x *examiner) with(d float64) patient.Kind {
	x.do(sitting.Action{Do: sitting.Hold, Lens: optics.SphereOf(d)})
	k := x.ask(patient.WithLens).Kind
	x.do(sitting.Action{Do: sitting.Lower})
	return k
}

// setSphere puts a sphere into the back cell, or changes the one there, to the
// nearest that the set has.
func (x *examiner) setSphere(d float64) {
	d = nearest(x.Set.Spheres(), d)
	x.set(optics.Back, x.sphere, d, optics.SphereOf(d))
	x.sphere = d
}

// stepSphere changes the sphere by so many quarters of a dioptre, or by as few
// steps of the set as come closest beyond.
func (x *examiner) stepSphere(quarters float64) {
	start := x.sphere
	for more := 0.0; x.sphere == start && more < 1; more += 0.25 {
		x.setSphere(start + quarters/4 + math.Copysign(more, quarters))
	}
}

// setCylinder puts a minus cylinder at the axis found, or changes it.
func (x *examiner) setCylinder(d float64) {
	d = math.Min(0, nearest(append(x.Set.Cylinders(), 0), d))
	x.set(optics.Front1, x.cyl, d, optics.CylinderOf(d, x.axis))
	x.cyl = d
}

func (x *examiner) set(cell optics.Cell, was, now float64, lens optics.Lens) {
	a := sitting.Action{Cell: sitting.In(cell), Lens: lens}
	switch {
	case was == now:
		return
	case now == 0:
		a.Do, a.Lens = sitting.Take, optics.Lens{}
	case was == 0:
		a.Do = sitting.Put
	default:
		a.Do = sitting.Exchange
	}
	x.do(a)
}

// nearest is the power of the set closest to d; the eighths are left to those
// who want them.
func nearest(powers []float64, d float64) float64 {
	best := 0.0
	for _, p := range powers {
		if math.Mod(p, 0.25) == 0 && math.Abs(p-d) < math.Abs(best-d) {
			best = p
		}
	}
	return best
}
