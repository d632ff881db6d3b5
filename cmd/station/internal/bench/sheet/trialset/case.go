package trialset

import (
	"math"

	"conoid/sim/optics"
)

// compartment is a part of the case: the lenses of one whole dioptre, as a case of
// lenses is divided.
type compartment struct {
	whole  int       // dioptres, away from zero; 0 for what is weaker than a quarter
	powers []float64 // dioptres, in rising order
}

// side by side are as many compartments as are seen at once.
const sideBySide = 3

// quarter is the step of a case, dioptres; a weaker lens lies at zero.
const quarter = 0.25

// compartments divide powers in rising order.
func compartments(powers []float64) (all []compartment) {
	for _, p := range powers {
		whole := wholeOf(p)
		if n := len(all); n == 0 || all[n-1].whole != whole {
			all = append(all, compartment{whole: whole})
		}
		last := &all[len(all)-1]
		last.powers = append(last.powers, p)
	}
	return all
}

// wholeOf is the whole dioptre at which a power lies: -1.75 lies with -2.00, and +0.25
// with +1.00.
func wholeOf(power float64) int {
	if math.Abs(power) < quarter {
		return 0
	}
	return int(math.Copysign(math.Ceil(math.Abs(power)), power))
}

// most is the last window that shows as many compartments as are seen at once.
func most(all []compartment) int { return max(0, len(all)-sideBySide) }

// shown are the compartments in a window, which is told by its first.
func shown(all []compartment, first int) []compartment {
	first = min(max(first, 0), most(all))
	return all[first:min(first+sideBySide, len(all))]
}

// span is the weakest and the strongest power of some compartments, dioptres.
func span(some []compartment) (low, high float64) {
	last := some[len(some)-1].powers
	return some[0].powers[0], last[len(last)-1]
}

// around is the window that has a power in its middle, or as near to it as the ends of
// the case allow.
func around(all []compartment, power float64) int {
	best, near := 0, math.Inf(1)
	for i, c := range all {
		for _, p := range c.powers {
			if d := math.Abs(p - power); d < near {
				best, near = i, d
			}
		}
	}
	return min(max(best-1, 0), most(all))
}

// slid is the window whose middle is nearest to a power: where a hand has dragged it to.
func slid(all []compartment, power float64) int {
	best, near := 0, math.Inf(1)
	for first := 0; first <= most(all); first++ {
		low, high := span(shown(all, first))
		if d := math.Abs((low+high)/2 - power); d < near {
			best, near = first, d
		}
	}
	return best
}

// stepped is a window moved by a key: a step to the next compartment, however far the
// key turns other things.
func stepped(all []compartment, first, turn int) int {
	switch {
	case turn > 0:
		first++
	case turn < 0:
		first--
	}
	return min(max(first, 0), most(all))
}

// typed is the lens of a kind that a text asks for; its error says what the set, or the
// hand, has instead.
func typed(set optics.TrialSet, held bool, kind optics.Kind, text string, axis int) (optics.Lens, error) {
	power, err := optics.ParseDioptre(text)
	if err != nil {
		return optics.Lens{}, err
	}
	l := optics.SphereOf(power)
	if kind == optics.CylinderLens {
		l = optics.CylinderOf(power, float64(axis))
	}
	if held {
		return l, set.CheckHeld(l)
	}
	return l, set.Check(l)
}
