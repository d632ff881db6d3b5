package candidate

import (
	"math"
	"slices"

	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// findCylinder brackets the power of the cylinder with the blocks.
func (h cylinderHands) findCylinder() {
	h.show(chart.Blocks)
	h.point(h.axis)
	h.easeFog()
	h.cylBegun = math.Min(h.Objective.Cyl+method.CylinderStep, -method.CylinderStep)
	if h.fromNone {
		h.cylBegun = -method.CylinderStep
	}
	if h.unfogged {
		h.stepSphere(-4)
	}
	h.atBlocks = true
	h.setCylinder(h.cylBegun)
	h.setCylinder(h.balanceBlocks())
}

// easeFog makes sure that the blocks can be told apart: while the cylinder is out
// the bars along the arrow must be clearer.
func (h cylinderHands) easeFog() {
	const most = 2
	for range most {
		if h.ask(patient.WhichBlock).Kind == patient.Parallel || h.heedless || h.deafCheck {
			return
		}
		h.stepSphere(-2)
	}
	h.stepSphere(2 * most)
}

// powers are the minus cylinders of the set in dioptres, weakest first, behind
// none at all.
func (h cylinderHands) powers() []float64 {
	out := []float64{0}
	for _, p := range slices.Backward(h.Set.Cylinders()) {
		if p < 0 {
			out = append(out, p)
		}
	}
	return out
}

// place is where a cylinder stands among the powers.
func (h cylinderHands) place(power float64) int {
	powers := h.powers()
	i := slices.IndexFunc(powers, func(p float64) bool { return p <= power+1e-6 })
	if i < 0 {
		return len(powers) - 1
	}
	return i
}

// mostEased is how often the fog is eased because the blocks are alike over half a
// dioptre or more.
const mostEased = 2

// balanceBlocks makes the cylinder stronger while the bars along the arrow are
// clearer and weaker while those across are, and gives the power at which they are
// alike, the middle of several, or the weaker of the two on either side.
func (h cylinderHands) balanceBlocks() float64 {
	f := h.searchBlocks(h.cyl)
	for range mostEased {
		if h.firstAlike || !f.alike || f.last-f.first < 2 || !h.May(patient.WithLens) || h.with(-method.LittlePlus) != patient.Better {
			break
		}
		h.stepSphere(-2)
		f = h.searchBlocks(h.powers()[(f.first+f.last)/2])
	}
	powers, v := h.powers(), 0
	switch {
	case f.alike:
		v = (f.first + f.last) / 2
		if h.firstAlike {
			v = f.first
		}
	case f.low != unseenLow:
		v = f.low
	default:
		v = 0 // even the weakest is too strong
	}
	if h.reversing && f.high != unseenHigh {
		v = f.high
	}
	return powers[min(max(0, v-h.weak), len(powers)-1)]
}

func (h cylinderHands) searchBlocks(from float64) found {
	powers := h.powers()
	s := search{
		look: func(v int) method.Way { return h.blocks(powers[v]) },
		step: h.cylStep, fine: 1, most: len(powers) - 1, widest: 4,
	}
	if h.firstAlike {
		s.widest = 0
	}
	if h.weak > 0 {
		return h.stopShort(s, h.place(from))
	}
	return s.from(max(1, h.place(from)))
}

// stopShort makes the cylinder stronger while the bars along the arrow are clearer,
// and does not wait until they are not.
func (h cylinderHands) stopShort(s search, at int) found {
	f := found{low: at, high: unseenHigh}
	for at > 1 && s.look(at) != tooLow {
		at--
	}
	f.low = at
	return f
}

// blocks brings a cylinder in, and tells which way the answer sends it: on to a
// stronger one, which is more places on, or back.
func (h cylinderHands) blocks(power float64) method.Way {
	h.setCylinder(power)
	way, _ := method.Strengthen(h.ask(patient.WhichBlock).Kind)
	return way
}

// checkCylinder looks at the blocks through a little more plus, which must leave
// them alike, and at the dial through the cylinder, on which no line must stand
// out. What fails is done once more.
func (h cylinderHands) checkCylinder() {
	if !h.alikeThroughPlus() && !h.unchecked {
		h.setCylinder(h.balanceBlocks())
		h.alikeThroughPlus()
	}
	const most = 3
	for range most {
		if h.noDialLook || h.cyl == 0 || !h.Judged(h.dial) || !h.lineLeft() {
			return
		}
	}
}

// alikeThroughPlus reports whether the blocks stay alike with a little more plus held
// up.
func (h cylinderHands) alikeThroughPlus() bool {
	h.hold(method.LittlePlus)
	k := h.ask(patient.WhichBlock).Kind
	h.lower()
	return k != patient.Parallel && k != patient.Perpendicular
}

// lineLeft shows the dial through the cylinder and heeds the line that stands out
// there. It reports whether anything was changed.
func (h cylinderHands) lineLeft() bool {
	h.show(h.dial)
	a := h.ask(patient.WhichLines)
	if a.Kind != patient.Lines || h.unchecked {
		return false
	}
	if way := method.TowardLine(h.axis, middle(a.Lines)); way != even {
		return h.turnToward(float64(way))
	}
	h.show(chart.Blocks)
	h.point(h.axis)
	was := h.cyl
	h.setCylinder(h.balanceBlocks())
	return h.cyl != was
}

// turnToward turns the cylinder by the fine step toward a line that stands out, and
// keeps it there while the line is not on the other side then.
func (h cylinderHands) turnToward(way float64) bool {
	was := h.axis
	h.turn(h.axis + way*method.FineArrowStep)
	a := h.ask(patient.WhichLines)
	if a.Kind == patient.Lines && optics.AxisDifference(h.axis, middle(a.Lines))*way < 0 {
		h.turn(was + way*2)
		return false
	}
	return true
}
