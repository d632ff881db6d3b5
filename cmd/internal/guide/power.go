package guide

import (
	"fmt"
	"math"
	"slices"

	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// powers are the minus cylinders of the trial set in dioptres, weakest first,
// behind none at all.
func (w *work) powers() []float64 {
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
func (w *work) place(power float64) int {
	powers := w.powers()
	for i, p := range powers {
		if p <= power+1e-6 {
			return i
		}
	}
	return len(powers) - 1
}

// inPlace is the place of the cylinder that stands in the frame.
func (w *work) inPlace() int {
	if c := cylinders(w.frame); len(c) == 1 {
		return w.place(c[0].Power)
	}
	return 0
}

// bars closes in on the place of the cylinder from the answers about the
// blocks.
func (w *work) bars(axis int) (b bracket, asked bool) {
	// That astigmatism was seen on the dial says that no cylinder is too little.
	b.add(0, tooLow)
	for _, l := range w.looks {
		c := cylinders(l.frame)
		if l.question != patient.WhichBlock || l.frame.Held.Kind != optics.NoLens || l.pointer != axis ||
			len(c) != 1 || int(c[0].Axis) != axis {
			continue
		}
		asked = true
		v := w.place(c[0].Power)
		switch l.answer.Kind {
		case patient.Parallel:
			b.add(v, tooLow)
		case patient.Perpendicular:
			b.add(v, tooHigh)
		case patient.Alike, patient.Unsure:
			b.add(v, even)
		}
	}
	return b, asked
}

// manyAlike is how many cylinders one after the other may leave the blocks alike
// before the weakest of them is taken.
const manyAlike = 3

// cylinderPlace is the place to try next, or the one that was found.
func (w *work) cylinderPlace(axis int) (v int, found, asked bool) {
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
func (w *work) cylinder() (Advice, bool) {
	axis, found := w.axisFound()
	if !found {
		return Advice{}, false
	}
	a := w.advice(6, "cylinder")
	c := cylinders(w.frame)
	v, done, _ := w.cylinderPlace(axis)
	switch {
	case len(c) > 1:
		a.Text = w.text("cylinder.one")
		a.Write = []string{"take " + c[1].Code()}
	case len(c) == 1 && int(c[0].Axis) != axis:
		a.Text = w.text("cylinder.turn", axis)
		a.Write = []string{fmt.Sprintf("turn %d", axis)}
	case len(c) == 1, done && v == 0:
		return Advice{}, false
	default:
		a.Text = w.text("cylinder.put", axis)
		a.Write = []string{fmt.Sprintf("put %sx%d", code(w.powers()[max(v, 1)]), axis)}
	}
	return a, true
}

// blocks finds the power of the cylinder.
func (w *work) blocks() (Advice, bool) {
	axis, found := w.axisFound()
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
	a := w.advice(7, "blocks")
	last, _ := w.lastLook(patient.WhichBlock)
	switch {
	case done:
		a.Text = w.text("blocks.done")
	case !asked:
		a.Text = w.text("blocks.ask")
	case last.answer.Kind == patient.Parallel:
		a.Text = w.text("blocks.more")
	case last.answer.Kind == patient.Perpendicular:
		a.Text = w.text("blocks.less")
	case last.answer.Kind == patient.Alike || last.answer.Kind == patient.Unsure:
		a.Text = w.text("blocks.alike")
	default:
		a.Text = w.text("again")
		v = now
	}
	if v != now {
		a.Write = append(a.Write, w.toCylinder(now, v))
	}
	if !done {
		if w.State.Chart != sitting.Blocks {
			a.Write = append(a.Write, "show blocks")
		}
		if w.State.Pointer != axis {
			a.Write = append(a.Write, fmt.Sprintf("arrow %d", axis))
		}
		a.Write = append(a.Write, "ask")
	}
	return a, true
}

// confirm checks that both focal lines have met: a little more plus must blur
// both blocks alike (common practice).
func (w *work) confirm() (Advice, bool) {
	axis, found := w.axisFound()
	if !found || w.inPlace() == 0 {
		return Advice{}, false
	}
	a := w.advice(7, "blocks")
	asked := false
	for _, l := range w.looks {
		if l.question == patient.WhichBlock && l.frame.Held.Power > 0 && sameCylinders(l.frame, w.frame) {
			asked = true
		}
	}
	held := w.frame.Held.Kind != optics.NoLens
	switch {
	case asked && held:
		a.Text, a.Write = w.text("blocks.lower"), []string{"lower"}
		return a, true
	case asked:
		return Advice{}, false
	}
	a.Text = w.text("blocks.confirm")
	if w.State.Chart != sitting.Blocks {
		a.Write = append(a.Write, "show blocks")
	}
	if w.State.Pointer != axis {
		a.Write = append(a.Write, fmt.Sprintf("arrow %d", axis))
	}
	if !held {
		a.Write = append(a.Write, "hold +0.50")
	}
	a.Write = append(a.Write, "ask blocks")
	return a, true
}

// toCylinder is the command that brings the cylinder from one place to
// another.
func (w *work) toCylinder(now, v int) string {
	if v == 0 {
		return "take cyl"
	}
	p := w.powers()
	return "add " + code(p[v]-p[now]) + " cyl"
}
