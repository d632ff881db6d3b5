package guide

import (
	"math"
	"slices"

	"conoid/sim/method"
)

// A verdict is where an answer about a number that was tried sends: to a greater
// one, nowhere, or to a smaller one.
const (
	tooLow  = method.More
	even    = method.Stay
	tooHigh = method.Less
)

// bracket closes in on a whole number from answers about numbers that were
// tried.
type bracket struct{ tries []try }

type try struct {
	value   int
	verdict method.Way
}

func (b *bracket) add(value int, v method.Way) { b.tries = append(b.tries, try{value, v}) }

// forget leaves out what was said of a number.
func (b *bracket) forget(value int) {
	b.tries = slices.DeleteFunc(b.tries, func(t try) bool { return t.value == value })
}

// patience is the number of answers after which a patient who keeps
// contradicting himself is asked no more.
const patience = 14

// limits are what the answers come to: the highest number that is too low, the
// lowest that is too high, and the numbers between that make no difference. A
// later answer overrules the earlier ones that it cannot go with.
func (b *bracket) limits() (low, high int, alike []int) {
	low, high = math.MinInt, math.MaxInt
	for _, t := range slices.Backward(b.tries) {
		least, most := t.value, t.value
		if len(alike) > 0 {
			least, most = slices.Min(alike), slices.Max(alike)
		}
		switch {
		case t.value <= low || t.value >= high: // overruled, or known
		case t.verdict == tooLow && t.value < least || t.verdict == tooLow && len(alike) == 0:
			low = t.value
		case t.verdict == tooHigh && t.value > most || t.verdict == tooHigh && len(alike) == 0:
			high = t.value
		case t.verdict == even && !slices.Contains(alike, t.value):
			alike = append(alike, t.value)
		}
	}
	return low, high, alike
}

// next is the number to try next, or, when found is set, the middle of where no
// difference is made; between two neighbours of which one is too low and one
// too high it is the lower one. The way out from what is known goes in coarse
// steps, the way in goes down to fine ones.
func (b *bracket) next(coarse, fine int) (v int, found bool) {
	low, high, alike := b.limits()
	hasLow, hasHigh := low != math.MinInt, high != math.MaxInt
	if hasLow && hasHigh && len(b.tries) >= patience {
		return low + (high-low)/2, true
	}
	if len(alike) > 0 {
		least, most := slices.Min(alike), slices.Max(alike)
		switch {
		case !hasLow:
			return least - coarse, false
		case !hasHigh:
			return most + coarse, false
		case least-low > fine:
			return least - fine, false
		case high-most > fine:
			return most + fine, false
		}
		return low + (high-low)/2, true
	}
	switch gap := high - low; {
	case hasLow && hasHigh && gap <= fine:
		return low + gap/2, true
	case hasLow && hasHigh:
		return low + max(fine, gap/2/fine*fine), false
	case hasLow:
		return low + coarse, false
	case hasHigh:
		return high - coarse, false
	}
	return 0, false
}

// span is how far the numbers reach that make no difference.
func (b *bracket) span() int {
	_, _, alike := b.limits()
	if len(alike) == 0 {
		return 0
	}
	return slices.Max(alike) - slices.Min(alike)
}
