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

// findCylinder brackets the power of the cylinder with the blocks.
func (x *examiner) findCylinder() {
	x.axis = float64(whole(x.axis))
	x.do(sitting.Action{Do: sitting.Point, Axis: int(x.axis)})
	x.show(chart.Blocks)
	x.easeFog()
	start := math.Min(x.Objective.Cyl+method.CylinderStep, -method.CylinderStep)
	x.say(fact.New("expert.cylinder", "axis", fact.Degrees(x.axis)))
	x.setCylinder(start)
	power := x.bracket()
	x.say(fact.New("expert.cylinder-last", "power", fact.Power(power)))
	x.setCylinder(power)
}

// easeFog makes sure that the blocks can be told apart. While the cylinder is
// out the bars along the arrow must be clearer: if they are not, they are
// fogged so far that they have lost their contrast, or turned it round.
func (x *examiner) easeFog() {
	const most = 3
	for range most {
		x.say(fact.New("expert.blocks-bare"))
		if x.ask(patient.WhichBlock).Kind == patient.Parallel {
			return
		}
		x.say(fact.New("expert.blocks-fogged"))
		x.stepSphere(-2)
	}
	x.say(fact.New("expert.blocks-same"))
	x.stepSphere(2 * most)
}

// mostBeyond is how much more cylinder than the objective result, in dioptres,
// is believed: further on, the fog is wrong and the answers are about that.
const mostBeyond = 1.25

// bracket steps the cylinder until the blocks reverse, and gives the power
// where they are alike, or the weaker of the two on either side.
func (x *examiner) bracket() float64 {
	seen := map[float64]patient.Kind{}
	const most = 24
	for range most {
		k, ok := seen[x.cyl]
		if !ok {
			k = x.ask(patient.WhichBlock).Kind
			seen[x.cyl] = k
		}
		stronger, weaker := x.cylinderBeside(-1), x.cylinderBeside(1)
		switch k {
		case patient.Parallel:
			if seen[stronger] == patient.Perpendicular {
				return x.cyl
			}
			if seen[stronger] != "" && seen[stronger] != patient.Parallel {
				return stronger
			}
			if stronger < x.Objective.Cyl-mostBeyond {
				x.doubt("blocks-strong")
				return x.Objective.Cyl
			}
			x.say(fact.New("expert.blocks-along"))
			x.setCylinder(stronger)
		case patient.Perpendicular:
			if x.cyl == 0 {
				return 0
			}
			if seen[weaker] == patient.Parallel {
				return weaker
			}
			if seen[weaker] != "" && seen[weaker] != patient.Perpendicular {
				return weaker
			}
			x.say(fact.New("expert.blocks-across"))
			x.setCylinder(weaker)
			if x.cyl == 0 {
				return 0
			}
		default:
			return x.middleOfEqual(seen)
		}
	}
	x.doubt("blocks-restless")
	return x.cyl
}

// middleOfEqual finds how far the blocks look alike, and takes the middle, the
// weaker of two.
func (x *examiner) middleOfEqual(seen map[float64]patient.Kind) float64 {
	x.say(fact.New("expert.blocks-alike"))
	at := x.cyl
	strong, weak := at, at
	const most = 4
	for range most {
		next := x.cylinderBeside(-1)
		if next == strong {
			break
		}
		x.setCylinder(next)
		if k := x.blocks(seen); k == patient.Perpendicular || k == patient.Parallel {
			break
		}
		strong = next
	}
	x.setCylinder(at)
	for range most {
		next := x.cylinderBeside(1)
		if next == 0 {
			break
		}
		x.setCylinder(next)
		if k := x.blocks(seen); k == patient.Parallel || k == patient.Perpendicular {
			break
		}
		weak = next
	}
	if weak-strong >= wideEqual && x.eased < mostEased && x.May(patient.WithLens) && x.with(-0.50) == patient.Better {
		x.say(fact.New("expert.blocks-range"))
		x.eased++
		x.stepSphere(-2)
		x.setCylinder(at)
		return x.bracket()
	}
	return math.Ceil((strong+weak)/2*4) / 4
}

// Blocks that are alike over wideEqual, in dioptres of cylinder, are fogged too
// far to tell; the fog is eased for that no more than mostEased times.
const (
	wideEqual = 0.50
	mostEased = 2
)

// cylinderBeside is the next weaker (+1) or stronger (-1) minus cylinder of
// the set, 0 for none; the one in the frame when there is no other.
func (x *examiner) cylinderBeside(way int) float64 {
	if x.cyl == 0 && way < 0 {
		return -method.CylinderStep
	}
	next, ok := x.Set.Neighbour(optics.CylinderOf(x.cyl, x.axis), way)
	switch {
	case !ok && way < 0:
		return x.cyl
	case !ok || next.Power > 0:
		return 0
	}
	return next.Power
}

func (x *examiner) blocks(seen map[float64]patient.Kind) patient.Kind {
	if k, ok := seen[x.cyl]; ok {
		return k
	}
	k := x.ask(patient.WhichBlock).Kind
	seen[x.cyl] = k
	return k
}
