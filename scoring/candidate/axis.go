package candidate

import (
	"math"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// findAxis finds the axis with dial and arrow. It is false when there is none.
func (h axisHands) findAxis() bool {
	if !h.todo(cases.AtArrow) {
		return true
	}
	label, ok := h.lineBefore(), true
	if h.todo(cases.AtFan) {
		label, ok = h.findLine()
	}
	if !ok {
		return false
	}
	h.axisBegun = label
	axis := label
	switch {
	case h.along:
		axis = optics.Axis(label + 90)
	case !h.fanAlone && !h.noArrow:
		axis, ok = h.balanceArrow(label)
	}
	if h.keepCylinder {
		h.setCylinder(0) // it comes out late
	}
	h.axis = float64(whole(axis))
	return ok
}

// balanceArrow turns the arrow toward the blurrier limb until the limbs are alike
// or change sides, and takes the middle. It is false when they never do.
func (h axisHands) balanceArrow(label float64) (axis float64, ok bool) {
	h.show(chart.Arrow)
	start := whole(label)
	if h.wrongTurn {
		return h.turnedWrong(start + method.ArrowStep), true
	}
	s := search{
		look: func(v int) method.Way { return h.limbs(float64(v)) },
		step: h.arrowStep, fine: method.FineArrowStep,
		least: start - 60, most: start + 60, widest: method.WidestAlike / 2,
	}
	if h.arrowStep > method.FineArrowStep {
		s.fine = method.ArrowStep
	}
	if h.shortArrow {
		h.limbs(label + besideAxis)
		return optics.Axis(label + besideAxis), true
	}
	f := s.from(start)
	if f.changed && h.bothSides && s.fine > method.FineArrowStep {
		s.step, s.fine = method.FineArrowStep, method.FineArrowStep
		f = s.from(int(math.Round(f.middle())))
	}
	if !f.changed {
		return 0, false
	}
	return optics.Axis(f.middle()), true
}

// besideAxis is how far from the axis, in degrees, who ends the arrow beside it does.
const besideAxis = 15

// limbs points the arrow, and tells which way the answer sends it. One that says
// nothing leaves it there.
func (h axisHands) limbs(axis float64) method.Way {
	h.point(axis)
	way, _ := method.Turn(h.ask(patient.WhichLimb).Kind)
	return way
}

// turnedWrong turns toward the clearer limb, twice at most, and stays there.
func (h axisHands) turnedWrong(at int) float64 {
	const most = 2
	for range most {
		way := h.limbs(float64(at))
		if way == even {
			break
		}
		at -= method.ArrowStep * int(way)
	}
	h.limbs(float64(at))
	return optics.Axis(float64(at))
}

// axisAgain takes the cylinder out, balances the arrow once more from the axis
// found, and then the blocks again from the power found.
func (h cylinderHands) axisAgain() {
	power := h.cyl
	h.atBlocks = false
	h.setCylinder(0)
	if axis, ok := h.balanceArrow(h.axis); ok {
		h.axis = float64(whole(optics.Axis(h.axis + optics.AxisDifference(h.axis, axis)/2))) // the middle of two findings
	}
	h.show(chart.Blocks)
	h.point(h.axis)
	h.setCylinder(power)
	h.atBlocks = true
	h.setCylinder(h.balanceBlocks())
}
