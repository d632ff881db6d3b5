package patient

import (
	"math"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/retina"
)

// The cylinder of the clinical error is sought behind so much more plus, in
// dioptres, as the method has when the blocks are judged; by differences over
// balanceStep, in steps of at most balanceStride, until one is below
// balanceEnough.
const (
	balanceFog    = 0.50
	balanceStep   = 0.05
	balanceStride = 0.10
	balanceEnough = 0.003
	balanceRounds = 5
)

// Balance finds the residual, in dioptres, behind the clinical error of an eye,
// and the acuity there, as logMAR. Its sphere is the offset of [Offset]. Its
// cylinder is the one with which the fogged eye, relaxed and noiseless, sees both
// blocks alike: aberrations of higher order blur along one meridian more than
// along another, so that an eye without astigmatism of second order does not see
// them so. It is none for an eye without aberrations.
//
// The letters ask for the same cylinder: at the balance acuity is as good as
// without any, to 0.001 logMAR in the middle of 60 eyes.
func Balance(r *retina.Renderer, e eye.Eye) (at optics.Power, best float64) {
	offset, best := Offset(r, e)
	at = optics.Sphere(offset)
	if e.Aberrations.None() {
		return at, best
	}
	e.Needs = optics.Power{}
	tilt := func(p optics.Power) [2]float64 {
		p.M += balanceFog
		l := Through(e, p, 0, 0).Look(r)
		return [2]float64{l.tilt(180), l.tilt(45)}
	}
	for range balanceRounds {
		was := tilt(at)
		j0, j45 := newton(was, tilt(at.Add(optics.Power{J0: balanceStep})), tilt(at.Add(optics.Power{J45: balanceStep})))
		step := optics.Power{J0: clamp(j0, balanceStride), J45: clamp(j45, balanceStride)}
		at = at.Add(step)
		if step.Astigmatism() < balanceEnough {
			break
		}
	}
	at.J0, at.J45 = math.Round(at.J0*1e6)/1e6, math.Round(at.J45*1e6)/1e6
	return at, best
}

// tilt is how much clearer the bars along an arrow at a label feel than those
// across it.
func (l *Look) tilt(label float64) float64 {
	along, across := chart.BlockLines(label)
	return feel(along, l.Clarity(along, chart.White)) - feel(across, l.Clarity(across, chart.White))
}

// newton is the step, in J0 and J45, to where two tilts vanish, from what they
// are and what they become balanceStep further on.
func newton(was, besideJ0, besideJ45 [2]float64) (j0, j45 float64) {
	a, b := (besideJ0[0]-was[0])/balanceStep, (besideJ45[0]-was[0])/balanceStep
	c, d := (besideJ0[1]-was[1])/balanceStep, (besideJ45[1]-was[1])/balanceStep
	det := a*d - b*c
	if math.Abs(det) < 1e-9 {
		return 0, 0 // nothing to be seen in it
	}
	return (b*was[1] - d*was[0]) / det, (c*was[0] - a*was[1]) / det
}

func clamp(v, most float64) float64 { return max(-most, min(most, v)) }
