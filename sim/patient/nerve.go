package patient

import (
	"math"
	"sort"

	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/retina"
)

// Grains are sought on steps of a thirty-second of a doubling, which are worth 0.007
// logMAR, so that few are in use and what is worked out for one serves many eyes; up
// to sixteen times as coarse as usual, which leaves some 0.9 logMAR.
const (
	grainSteps = 32
	mostGrain  = 4 * grainSteps
)

// CoarsestAcuity is the worst best acuity, as logMAR, that a grain is meant for: 6/24.
// Beyond it the lines of a fan run together even in focus.
const CoarsestAcuity = 0.60206 // log10(24/6)

// Grain is how coarse the nervous system behind an eye must be, as a factor, for the
// best acuity of the eye to be so much, as logMAR; 1 where its optics and a usual
// nervous system reach no more. A coarser one is a usual one for an image as many
// times smaller: its sensitivity is that for finer detail, its noise is greater and
// it sums over more. So it loses most where detail is finest, as amblyopic eyes do
// (of 143 children's, .73 of the usual sensitivity was left at 1.5 c/deg and .30 at
// 18; abstract of "Variance analysis of contrast sensitivity for amblyopia and
// normal eye").
func Grain(r *retina.Renderer, e eye.Eye, logMAR float64) float64 {
	e.Grain = 1
	offset, best := Offset(r, e)
	if logMAR <= best {
		return 1
	}
	e.Needs = optics.Power{}
	l := Through(e, optics.Sphere(offset-sharper), 0, 0).Look(r)
	k := sort.Search(mostGrain, func(k int) bool { return l.grained(grainOf(k)).Acuity() >= logMAR })
	return grainOf(k)
}

// sharper is by how much less plus than with the offset, in dioptres, acuity is about
// at its best, whatever the grain.
const sharper = 0.25

func grainOf(k int) float64 { return math.Exp2(float64(k) / grainSteps) }

// grained is the same look to a nervous system of another grain.
func (l *Look) grained(grain float64) *Look {
	other := l.Sight.Look(l.renderer)
	other.Grain, other.transfer, other.dim = grain, l.transfer, l.dim
	return other
}
