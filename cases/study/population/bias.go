package population

import (
	"math"

	"conoid/cases"
	"conoid/sim/method"
	"conoid/sim/optics"
)

// SphereBound is how far, in dioptres of spherical equivalent, the expert may be off on
// average: with the standard error of the mean still within the band of a quarter in
// which nobody loses points. Of the cylinder it is CylinderBound. The project's choice.
const SphereBound = 0.18

// Bias is a claim in which the expert is off on average by more than is good for a case.
type Bias struct {
	Claim      cases.Claim
	Off, Error float64 // mean and its standard error: dioptres, or of an axis degrees, without error

	of func(*Repeats) float64
}

// Biases are those of sittings with somebody with an error. A cylinder that hardly shows
// has no axis to miss.
func (r *Repeats) Biases(truth optics.Rx) (out []Bias) {
	add := func(beyond float64, b Bias) {
		if b.Off = b.of(r); math.Abs(b.Off) > beyond {
			out = append(out, b)
		}
	}
	add(SphereBound, Bias{cases.SphereClaim, 0, r.Sphere.Error, func(r *Repeats) float64 { return r.Sphere.Mean }})
	add(CylinderBound, Bias{cases.CylinderClaim, 0, r.Cylinder.Error, func(r *Repeats) float64 { return r.Cylinder.Mean }})
	if cyl := truth.MinusCyl().Cyl; cyl <= -method.FaintestCylinder {
		add(cases.AxisBand(cyl), Bias{cases.AxisClaim, 0, 0, func(r *Repeats) float64 { return r.Turn }})
	}
	return out
}

// OfReversed is how large a share of the sittings has blocks whose answer was the wrong
// way round before a case is warned of. The project's choice.
const OfReversed = 0.25

// ReversedOften reports whether it is as large.
func (r *Repeats) ReversedOften() bool { return float64(r.Reversed) >= OfReversed*float64(r.Sittings) }

// Explained is the cause without which least is left of a bias; nil where each leaves
// more than half of it. Of causes that leave as much to within two standard errors, the
// first counts.
func (b Bias) Explained(tried []Why) (best *Why) {
	least := math.Abs(b.Off) / 2
	for i, w := range tried {
		if left := math.Abs(b.of(w.Without)); left <= least && (best == nil || left < least-2*b.Error) {
			best, least = &tried[i], left
		}
	}
	return best
}

// Left is what is left of a bias in other sittings.
func (b Bias) Left(in *Repeats) float64 { return b.of(in) }
