package expert

import (
	"math"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// fog takes the cylinder out and brings both focal lines before the retina.
func (x *examiner) fog() {
	x.say(fact.New("expert.fog", "fog", fact.Power(method.UsualFog)))
	x.setSphere(x.Objective.Sphere + method.UsualFog)
	if x.cyl != 0 {
		x.setCylinder(0)
	}
}

// findAxis asks the fan and refines with the arrow. It is false when no line
// stands out, so that there is no axis.
func (x *examiner) findAxis() bool {
	label, ok := x.askFan()
	if !ok {
		return false
	}
	x.axis = x.balanceArrow(label)
	if math.IsNaN(x.axis) {
		x.doubt("arrow-alike")
		return false
	}
	return true
}

// mostLess is how often plus is taken off when no line stands out.
const mostLess = 3

// askFan has the clearest line named, with more fog or less until the answer
// can be trusted. It gives the label of the middle of what was named.
func (x *examiner) askFan() (label float64, ok bool) {
	x.say(fact.New("expert.fan"))
	x.show(chart.Fan)
	less := 0
	const most = 12
	for range most {
		a := x.ask(patient.WhichLines)
		switch {
		case a.Kind == patient.Lines && x.fogged():
			return x.confirmed(middle(a.Lines)), true
		case x.sphere-x.Objective.Sphere > method.RelaxingFog:
			x.doubt("fog")
			return x.withoutLine()
		case less < mostLess && x.drowned(a):
			x.say(fact.New("expert.fog-much"))
			less++
			x.stepSphere(-1)
		case a.Kind == patient.Lines || a.Kind == patient.Changing:
			x.say(fact.New("expert.fog-more"))
			x.stepSphere(1)
		case x.with(method.LittlePlus) != patient.Worse:
			x.say(fact.New("expert.fog-little"))
			x.stepSphere(2)
		default:
			return x.withoutLine()
		}
	}
	return x.withoutLine()
}

// unlikely is how far, in degrees, what is named on the fan may lie from the axis of
// an objective cylinder that the fan must show, before it is asked again: the
// project's choice. A mind that was elsewhere is there the next time.
const unlikely = 30

// confirmed is a label that was named, or what is named when it is asked again,
// where it contradicts the objective result.
func (x *examiner) confirmed(label float64) float64 {
	if x.Objective.Cyl > -2*method.FaintestCylinder || math.Abs(optics.AxisDifference(label, x.Objective.Axis)) <= unlikely {
		return label
	}
	x.say(fact.New("expert.fan-again"))
	if again := x.ask(patient.WhichLines); again.Kind == patient.Lines {
		return middle(again.Lines)
	}
	return label
}

// drowned reports whether the fan is fogged too much: lines that run into each
// other are a grey with more plus and with a little less, but the way out is less.
// That all are alike may have other reasons, so that less plus must help then.
func (x *examiner) drowned(a patient.Answer) bool {
	if a.Kind == patient.Changing {
		return false
	}
	without := x.with(-method.LittlePlus)
	return without == patient.Better || a.Kind == patient.Blurred && without != patient.Worse
}

// fogged verifies the fog: the clear line must blur with a little more plus,
// and clear with a little less; otherwise the back line is not in front of the
// retina, or hardly.
func (x *examiner) fogged() bool {
	x.say(fact.New("expert.fog-check"))
	if x.with(method.LittlePlus) != patient.Worse {
		return false
	}
	return x.with(-method.SphereStep) == patient.Better || x.with(-method.LittlePlus) == patient.Better
}

// withoutLine is what is left when no line of the fan stands out: the axis of
// the objective result, if that has a cylinder worth speaking of.
func (x *examiner) withoutLine() (label float64, ok bool) {
	x.setSphere(x.Objective.Sphere + method.UsualFog)
	if x.Objective.Cyl <= -method.FaintestCylinder {
		x.say(fact.New("expert.arrow-objective"))
		return x.Objective.Axis, true
	}
	x.doubt("fan-alike")
	return 0, false
}

// middle is the label in the middle of a group of lines.
func middle(lines []float64) float64 {
	label, ok := method.Middle(lines)
	if !ok && len(lines) > 0 {
		return chart.LabelOf(lines[len(lines)/2])
	}
	return label
}

// balanceArrow turns the arrow toward the blurrier limb until the limbs are
// alike or change sides, and takes the middle between the last turn to one
// side and the last to the other.
func (x *examiner) balanceArrow(label float64) float64 {
	x.say(fact.New("expert.arrow"))
	x.show(chart.Arrow)
	axis := label
	low, high := math.Inf(-1), math.Inf(1) // labels, unfolded, known to lie on either side
	const most = 12
	step := float64(method.ArrowStep)
	for range most {
		switch x.limbs(axis) {
		case patient.Left: // the right limb is blurrier: turn right, to a greater label
			low = math.Max(low, axis)
		case patient.Right:
			high = math.Min(high, axis)
		default:
			return x.middleOfAlike(axis, step)
		}
		switch {
		case low >= high:
			return optics.Axis((low + high) / 2)
		case high-low <= method.FineArrowStep:
			return optics.Axis((low + high) / 2)
		case math.IsInf(low, -1):
			axis = high - step
		case math.IsInf(high, 1):
			axis = low + step
		default:
			axis = (low + high) / 2
		}
	}
	x.doubt("arrow-restless")
	return optics.Axis(axis)
}

// middleOfAlike brackets: limbs that look alike at one place may look so over
// a range. The middle between the places where each side becomes clearer is
// the axis; it is no number when neither does.
func (x *examiner) middleOfAlike(axis, step float64) float64 {
	x.say(fact.New("expert.arrow-alike"))
	ends := [2]float64{axis, axis}
	reversed := false
	for i, way := range [2]float64{-1, 1} {
		for d := step; d <= method.WidestAlike/2; d += step {
			k := x.limbs(axis + way*d)
			ends[i] = axis + way*d
			if k == patient.Left || k == patient.Right {
				reversed = true
				break
			}
		}
	}
	if !reversed {
		return math.NaN()
	}
	return (ends[0] + ends[1]) / 2
}

func (x *examiner) limbs(axis float64) patient.Kind {
	x.do(sitting.Action{Do: sitting.Point, Axis: whole(axis)})
	return x.ask(patient.WhichLimb).Kind
}

// whole is an axis as the scales have it, 1 to 180.
func whole(axis float64) int { return int(optics.Axis(math.Round(optics.Axis(axis)))) }
