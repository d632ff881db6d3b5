package candidate

import (
	"math"

	"conoid/sim/optics"
)

// faults are good but for one thing each.
func faults() []Candidate {
	one := func(name, finding string, change func(*style)) Candidate {
		return Candidate{Name: name, Group: Fault, Fault: finding, work: works(change)}
	}
	return []Candidate{
		one("no fog", "fog-too-little", func(s *style) { s.fog, s.heedless = -0.25, true }),
		one("too much fog", "fog-too-much", func(s *style) { s.fog, s.heedless = 1.75, true }),
		one("fog check unheeded", "fog-check-unheeded", func(s *style) { s.fog, s.deafCheck = -1.00, true }),
		one("cylinder left in", "cylinder-left-in", func(s *style) { s.keepCylinder, s.heedless = true, true }),
		one("arrow to the clearer limb", "arrow-turned-wrong", func(s *style) { s.wrongTurn, s.noDialLook = true, true }),
		one("axis along the line", "axis-along-line", func(s *style) { s.along, s.noDialLook = true, true }),
		one("no arrow", "arrow-missing", func(s *style) { s.noArrow, s.noDialLook = true, true }),
		one("checks of the cylinder unheeded", "blocks-axis-unsettled", func(s *style) { s.shortArrow, s.unchecked = true, true }),
		one("first alike", "cylinder-not-bracketed", func(s *style) { s.firstAlike, s.unchecked, s.fromNone = true, true, true }),
		{Name: "cylinder too weak", Group: Fault, Fault: "cylinder-not-bracketed", Also: "cylinder-missed", work: works(func(s *style) { s.weak, s.unchecked = 1, true })},
		one("reversing cylinder kept", "reversing-cylinder-kept", func(s *style) { s.reversing, s.unchecked = true, true }),
		one("fog off before the blocks", "fog-lost", func(s *style) { s.unfogged, s.unchecked = true, true }),
		one("minus between the blocks", "sphere-moved", func(s *style) { s.minusBetween, s.noDialLook = true, true }),
		one("two quarters too minus", "too-much-minus", func(s *style) { s.overMinus = 2 }),
		one("fog left in", "fog-left-in", func(s *style) { s.keepFog = true }),
		one("other eye open", "other-eye-open", func(s *style) { s.otherOpen = true }),
		one("leads", "leading-question", func(s *style) { s.leading = true }),
		one("acuity made up", "acuity-made-up", func(s *style) { s.inventAcuity = true }),
		{Name: "axis mirrored", Group: Fault, Fault: "axis-mirrored", Also: "axis-along-line", Turned: true, work: works(func(s *style) { s.tell, s.misread = mirrored, true })},
	}
}

// mirrored reads the axis off from the wrong side of the scale.
func mirrored(_ *hands, end optics.Rx) optics.Rx {
	end.Axis = optics.Axis(180 - end.Axis)
	return end
}

// contraries do good work and state the opposite of what they heard.
func contraries() []Candidate {
	one := func(name string, tell func(*hands, optics.Rx) optics.Rx) Candidate {
		return Candidate{Name: name, Group: Contrary, work: works(func(s *style) { s.tell = tell })}
	}
	return []Candidate{
		one("cylinder the other way", otherPower),
		one("axis the other way", otherAxis),
		one("sphere the other way", otherSphere),
		one("all the other way", func(h *hands, end optics.Rx) optics.Rx {
			return otherSphere(h, otherAxis(h, otherPower(h, end)))
		}),
	}
}

// otherPower is as much too weak as the blocks said that the cylinder they began
// with was, or as strong, and half a dioptre off where they said neither. Who found
// no cylinder states one.
func otherPower(h *hands, end optics.Rx) optics.Rx {
	if end.Cyl == 0 {
		return optics.Rx{Sphere: end.Sphere, Cyl: -0.75, Axis: float64(whole(h.Objective.Axis + 180))}
	}
	off := end.Cyl - h.cylBegun
	if math.Abs(off) < 0.5 {
		off = math.Copysign(0.5, off)
	}
	end.Cyl = math.Min(0, h.cylBegun-off)
	return end
}

// otherAxis lies as far from where the arrow began as the axis that it found, on
// the other side, by 15 degrees at least.
func otherAxis(h *hands, end optics.Rx) optics.Rx {
	if end.Cyl == 0 {
		return end
	}
	off := optics.AxisDifference(h.axisBegun, end.Axis)
	if math.Abs(off) < 15 {
		off = math.Copysign(15, off)
	}
	end.Axis = float64(whole(h.axisBegun - off))
	return end
}

// otherSphere is minus past the end, where letters asked for no more.
func otherSphere(_ *hands, end optics.Rx) optics.Rx {
	end.Sphere -= 0.75
	return end
}
