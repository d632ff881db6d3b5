package candidate

import (
	"math"

	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// fogUp takes the cylinder out, the plus first, and brings both focal lines
// before the retina.
func (h axisHands) fogUp() {
	switch h.start {
	case fromObjective:
		h.setSphere(h.Objective.Sphere + h.fog)
	case fromAbove:
		h.setSphere(h.Objective.Sphere + farAbove)
	case fromZero:
		h.setSphere(0)
	}
	if !h.keepCylinder {
		h.setCylinder(0)
	}
	if h.start == fromZero {
		h.sphereByLetters()
	}
}

// farAbove is how much plus is too much to begin with, dioptres.
const farAbove = 2.00

// sphereByLetters finds by letters about where the circle of least confusion lies
// on the retina, and adds fog.
func (h axisHands) sphereByLetters() {
	h.show(chart.Letters)
	best := h.readable()
	const most, mostUnhelped = 24, 3
	for range most { // plus, as long as it takes no letters away
		h.stepSphere(4)
		now := h.read()
		if now > best+method.GainAlone {
			break
		}
		best = min(best, now)
	}
	at, unhelped := h.sphere, 0
	best = h.read()
	for range most { // less, as long as it gives some
		h.stepSphere(-2)
		if now := h.read(); now < best-method.GainAlone {
			best, at, unhelped = now, h.sphere, 0
		} else if unhelped++; unhelped == mostUnhelped {
			break
		}
	}
	h.setSphere(at + h.fog)
}

// readable looks for a sphere through which letters are read at all, minus and plus
// in turn, and gives the acuity through it.
func (h axisHands) readable() float64 {
	best := h.read()
	for d := 2.0; d <= 12 && best == unreadable; d += 2 {
		for _, way := range []float64{-1, 1} {
			h.setSphere(way * d)
			if best = h.read(); best != unreadable {
				break
			}
		}
	}
	return best
}

// mostLess is how often plus is taken off when no line stands out.
const mostLess = 3

// findLine has the clearest line named, with more fog or less until the answer can
// be trusted. It gives the label of the middle of what was named.
func (h axisHands) findLine() (label float64, ok bool) {
	h.show(h.dial)
	if h.heedless || h.deafCheck {
		if h.deafCheck {
			h.with(method.LittlePlus)
		}
		if a := h.ask(patient.WhichLines); a.Kind == patient.Lines {
			return middle(a.Lines), true
		}
		return h.Objective.Axis, h.Objective.Cyl <= -method.FaintestCylinder
	}
	if h.start == fromAbove {
		h.comeDown()
	}
	label, ok, settled := h.namedLine()
	if !settled && h.start != fromZero {
		// The card may be far off: letters tell where the fog should begin.
		h.sphereByLetters()
		h.show(h.dial)
		label, ok, settled = h.namedLine()
	}
	if !settled {
		return h.withoutLine()
	}
	return label, ok
}

// namedLine asks for a line until the fog is right. It is not settled when the answers
// go back and forth.
func (h axisHands) namedLine() (label float64, ok, settled bool) {
	without := func() (float64, bool, bool) {
		label, ok := h.withoutLine()
		return label, ok, true
	}
	less, begun := 0, h.sphere
	const most = 8
	for range most {
		a := h.ask(patient.WhichLines)
		if a.Kind == patient.Lines {
			h.lineSeen, h.lineLabel = true, middle(a.Lines)
		}
		switch {
		case a.Kind == patient.Lines && h.fogged():
			return h.confirmed(middle(a.Lines)), true, true
		case h.sphere-begun > method.RelaxingFog-method.UsualFog:
			return without()
		case less < mostLess && h.drowned(a):
			less++
			h.stepSphere(-1)
		case a.Kind == patient.Lines || a.Kind == patient.Changing:
			h.stepSphere(1)
		case h.with(method.LittlePlus) != patient.Worse:
			h.stepSphere(2)
		default:
			return without()
		}
	}
	return 0, false, false
}

// comeDown takes plus off until a line stands out that half a dioptre less makes no
// clearer, and puts that back. It goes no lower than the objective sphere.
func (h axisHands) comeDown() {
	for h.sphere > h.Objective.Sphere {
		if h.ask(patient.WhichLines).Kind == patient.Lines && h.with(-method.LittlePlus) != patient.Better {
			break
		}
		h.stepSphere(-1)
	}
	h.setSphere(h.sphere + method.UsualFog)
}

// fogged verifies the fog: a little more plus must blur, and less must clear.
func (h axisHands) fogged() bool {
	if h.with(method.LittlePlus) != patient.Worse {
		return false
	}
	return h.with(-method.SphereStep) == patient.Better || h.with(-method.LittlePlus) == patient.Better
}

// drowned reports whether the dial is fogged too much, so that the way out is less
// plus.
func (h axisHands) drowned(a patient.Answer) bool {
	if a.Kind == patient.Changing {
		return false
	}
	without := h.with(-method.LittlePlus)
	return without == patient.Better || a.Kind == patient.Blurred && without != patient.Worse
}

// unlikely is how far, in degrees, what is named may lie from the axis of a strong
// objective cylinder before it is asked again.
const unlikely = 30

// confirmed is a label that was named, or what is named the next time where it is
// unlikely.
func (h axisHands) confirmed(label float64) float64 {
	if h.Objective.Cyl > -2*method.FaintestCylinder || apart(label, h.Objective.Axis) <= unlikely {
		return label
	}
	if again := h.ask(patient.WhichLines); again.Kind == patient.Lines {
		return middle(again.Lines)
	}
	return label
}

// withoutLine is what is left when no line stands out: the arrow, from the axis of
// the objective result, if that has a cylinder worth speaking of, or from a line that
// was named once.
func (h axisHands) withoutLine() (label float64, ok bool) {
	if h.start != fromZero {
		h.setSphere(h.Objective.Sphere + method.UsualFog)
	}
	if h.lineSeen && h.Objective.Cyl > -method.FaintestCylinder {
		return h.lineLabel, true
	}
	return h.Objective.Axis, h.Objective.Cyl <= -method.FaintestCylinder && !h.fanAlone
}

// middle is the label in the middle of a group of lines.
func middle(lines []float64) float64 {
	label, ok := method.Middle(lines)
	if !ok && len(lines) > 0 {
		return chart.LabelOf(lines[len(lines)/2])
	}
	return label
}

// apart is how far two axes are apart, degrees, 0 to 90.
func apart(a, b float64) float64 { return math.Abs(optics.AxisDifference(a, b)) }
