package guide

import (
	"math"
	"slices"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// powerSearch finds the power of the cylinder on the blocks, at the axis that was
// found.
type powerSearch struct {
	*work
	axis axisSearch
}

// powers are the minus cylinders of the trial set in dioptres, weakest first,
// behind none at all.
func (w powerSearch) powers() []float64 {
	out := []float64{0}
	for _, p := range slices.Backward(w.Set.Cylinders()) {
		if p < 0 {
			out = append(out, p)
		}
	}
	return out
}

// place is where a cylinder stands among the powers: the weakest that is not
// weaker.
func (w powerSearch) place(power float64) int {
	powers := w.powers()
	for i, p := range powers {
		if p <= power+1e-6 {
			return i
		}
	}
	return len(powers) - 1
}

// inPlace is the place of the cylinder that stands in the frame.
func (w powerSearch) inPlace() int {
	if c := cylinders(w.frame); len(c) == 1 {
		return w.place(c[0].Power)
	}
	return 0
}

// bars closes in on the place of the cylinder from the answers about the
// blocks.
func (w powerSearch) bars(axis int) (b bracket, asked bool) {
	// That astigmatism was seen on the dial says that no cylinder is too little.
	b.add(0, tooLow)
	for _, l := range w.looks {
		c := cylinders(l.frame)
		if l.question != patient.WhichBlock || l.pointer != axis || len(c) != 1 || int(c[0].Axis) != axis {
			continue
		}
		if l.frame.Held.Kind != optics.NoLens {
			if failed(l) {
				b.forget(w.place(c[0].Power)) // what was heard of it is in doubt
			}
			continue
		}
		asked = true
		if way, ok := method.Strengthen(l.answer.Kind); ok {
			b.add(w.place(c[0].Power), way)
		}
	}
	return b, asked
}

// manyAlike is how many cylinders one after the other may leave the blocks alike
// before the weakest of them is taken.
const manyAlike = 3

// cylinderPlace is the place to try next, or the one that was found.
func (w powerSearch) cylinderPlace(axis int) (v int, found, asked bool) {
	b, asked := w.bars(axis)
	if !asked {
		// Half a dioptre less than the objective result has.
		return max(1, w.place(w.Objective.Cyl+0.50)), false, false
	}
	if low, high, alike := b.limits(); low >= 0 && high == math.MaxInt && len(alike) >= manyAlike {
		// Beyond twice the fog the left block is the clearer again, so that
		// there is no use in going on.
		return slices.Min(alike), true, true
	}
	v, found = b.next(1, 1)
	return min(v, len(w.powers())-1), found, true
}

// cylinder puts the first cylinder in, at the axis that was found.
func (w powerSearch) cylinder() (Advice, bool) {
	axis, found := w.axis.axisFound()
	if !found {
		return Advice{}, false
	}
	a := Advice{Stage: 6, Title: fact.New("advice.cylinder")}
	c := cylinders(w.frame)
	v, done, _ := w.cylinderPlace(axis)
	switch {
	case len(c) > 1:
		a.Text = fact.New("advice.cylinder.one")
		a.Do = []sitting.Action{w.take(c[1])}
	case len(c) == 1 && int(c[0].Axis) != axis:
		a.Text = fact.New("advice.cylinder.turn", "axis", fact.Degrees(axis))
		a.Do = []sitting.Action{{Do: sitting.Turn, Axis: axis}}
	case len(c) == 1, done && v == 0:
		return Advice{}, false
	default:
		a.Text = w.putAt(axis)
		a.Do = []sitting.Action{put(optics.CylinderOf(w.powers()[max(v, 1)], float64(axis)))}
	}
	return a, true
}

// blocks finds the power of the cylinder.
func (w powerSearch) blocks() (Advice, bool) {
	axis, found := w.axis.axisFound()
	if !found {
		return Advice{}, false
	}
	now := w.inPlace()
	v, done, asked := w.cylinderPlace(axis)
	if done && v == now {
		return Advice{}, false
	}
	if !asked {
		v = now
	}
	a := Advice{Stage: 7, Title: fact.New("advice.blocks")}
	last, _ := w.lastLook(patient.WhichBlock)
	switch {
	case done:
		a.Text = fact.New("advice.blocks.done")
	case !asked:
		a.Text = fact.New("advice.blocks.ask")
	case failed(last):
		a.Text = fact.New("advice.blocks.failed")
	case last.answer.Kind == patient.Parallel:
		a.Text = fact.New("advice.blocks.more")
	case last.answer.Kind == patient.Perpendicular:
		a.Text = fact.New("advice.blocks.less")
	case last.answer.Kind == patient.Alike || last.answer.Kind == patient.Unsure:
		a.Text = fact.New("advice.blocks.alike")
	default:
		a.Text = fact.New("advice.again")
		v = now
	}
	if v != now {
		a.Do = append(a.Do, w.toCylinder(v))
	}
	if w.frame.Held.Kind != optics.NoLens {
		a.Do = append(a.Do, lower())
	}
	if !done {
		a.Do = append(a.Do, w.on(chart.Blocks, append(w.point(axis), ask(patient.WhichBlock))...)...)
	}
	if asked && last.frame != w.frame && asks(a.Do) {
		a.Text = fact.New("advice.compare")
	}
	return a, true
}

// failed reports whether a look at the blocks through more plus did not pass as a check
// of equality: one of them stood out.
func failed(l look) bool {
	return l.frame.Held.Power > 0 && (l.answer.Kind == patient.Parallel || l.answer.Kind == patient.Perpendicular)
}

// mostChecks is how often a cylinder is checked when a check fails: answers waver.
const mostChecks = 2

// checked is how often the cylinder that is in was checked, and whether it was since
// the blocks were last compared without more plus.
func (w powerSearch) checked() (times int, since bool) {
	for _, l := range w.looks {
		switch {
		case l.question != patient.WhichBlock || !sameCylinders(l.frame, w.frame):
		case l.frame.Held.Power > 0:
			times, since = times+1, true
		case l.frame.Held.Kind == optics.NoLens:
			since = false
		}
	}
	return times, since
}

// confirm checks that both focal lines have met: a little more plus must blur
// both blocks alike (common practice).
func (w powerSearch) confirm() (Advice, bool) {
	axis, found := w.axis.axisFound()
	if !found || w.inPlace() == 0 {
		return Advice{}, false
	}
	a := Advice{Stage: 7, Title: fact.New("advice.blocks")}
	times, since := w.checked()
	held := w.frame.Held.Kind != optics.NoLens
	switch {
	case since && held:
		a.Text, a.Do = fact.New("advice.blocks.lower"), []sitting.Action{lower()}
		return a, true
	case since || times >= mostChecks:
		return Advice{}, false
	}
	a.Text = fact.New("advice.blocks.confirm")
	a.Do = slices.Concat(w.on(chart.Blocks, w.point(axis)...), w.hold(method.LittlePlus), []sitting.Action{ask(patient.WhichBlock)})
	return a, true
}

// toCylinder gives the cylinder in the frame another place among the powers.
func (w powerSearch) toCylinder(v int) sitting.Action {
	old := cylinders(w.frame)[0]
	if v == 0 {
		return w.take(old)
	}
	return w.exchange(old, w.powers()[v])
}

// putAt says where the cylinder goes in, and in a room with hours how the hour of the
// arrow leads there.
func (w work) putAt(axis int) fact.Fact {
	if w.Labels == chart.ByHour {
		return fact.New("advice.cylinder.put.hours", "axis", fact.Degrees(axis), "label", fact.Label(axis))
	}
	return fact.New("advice.cylinder.put", "axis", fact.Degrees(axis))
}
