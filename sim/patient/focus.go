package patient

import (
	"math"

	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/retina"
)

// Tolerance is how much acuity, in logMAR, most plus may cost: the clinical
// error is the most plus within it of the best.
const Tolerance = 0.02

// The spheres, in dioptres, among which the best acuity is sought, counted
// from paraxial focus at the reference wavelength. The acuity of human eyes
// over them is a valley; it is walked through in coarse steps first, from where
// most have its floor to either side, until it is so much worse, in logMAR, that
// nothing better lies beyond (so with 150 eyes drawn from the norms).
const (
	focusFrom   = -0.75
	focusTo     = 1.25
	focusUsual  = 0.25
	focusCoarse = 0.25
	focusFine   = 0.125
	focusWorse  = 0.1
)

// Offset finds how far the clinical error of an eye lies from its optical one:
// the most plus, in dioptres beyond paraxial focus at eye.ReferenceNm, with
// which the relaxed and noiseless eye is within Tolerance of its best acuity.
// Best is that acuity as logMAR.
func Offset(r *retina.Renderer, e eye.Eye) (offset, best float64) {
	known := map[float64]float64{}
	at := func(plus float64) float64 {
		v, ok := known[plus]
		if !ok {
			v = acuityAt(r, e, plus)
			known[plus] = v
		}
		return v
	}
	low := focusUsual
	for p := low; p <= focusTo && at(p) <= at(low)+focusWorse; p += focusCoarse {
		if at(p) < at(low) {
			low = p
		}
	}
	for p := focusUsual; p >= focusFrom && at(p) <= at(low)+focusWorse; p -= focusCoarse {
		if at(p) <= at(low) {
			low = p
		}
	}
	best = at(low)
	for p := low - focusCoarse; p <= low+focusCoarse; p += focusFine {
		best = math.Min(best, at(p))
	}
	// Walk towards more plus to the first step beyond the tolerance. A coarse
	// nervous system notices later.
	offset = low - focusCoarse
	for p := low + 2*focusCoarse*max(1, math.Ceil(e.Grain/4)); p >= low-focusCoarse; p -= focusFine {
		if at(p) <= best+Tolerance {
			offset = p
			if more := p + focusFine; at(more) > best+Tolerance {
				offset += focusFine * (best + Tolerance - at(p)) / (at(more) - at(p))
			}
			break
		}
	}
	return math.Round(offset*1e6) / 1e6, best
}

// acuityAt is the expected acuity with so much plus beyond focus, in dioptres.
func acuityAt(r *retina.Renderer, e eye.Eye, plus float64) float64 {
	e.Needs = optics.Power{}
	return Through(e, optics.Sphere(plus), 0, 0).Look(r).Acuity()
}

// Focused is the eye set so that the lens rx in the back cell, at a vertex
// distance and for a chart at a distance (both metres), is its clinical error,
// which leaves the balance; see [Balance].
func Focused(e eye.Eye, rx optics.Rx, balance optics.Power, vertex, distance float64) eye.Eye {
	e.Balance = balance
	e.Needs = optics.Required(rx, vertex, distance).Sub(balance)
	return e
}
