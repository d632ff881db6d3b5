package patient

import (
	"math"

	"conoid/sim/retina"
)

// Sensitivity is the contrast sensitivity of a whole eye, optics included, at
// f cycles per degree. Source: Watson and Ahumada (2005), J Vision 5(9):6,
// the HPmH form of their standard model.
func Sensitivity(f float64) float64 {
	const gain, f0, f1, a, p = 373.08, 4.1726, 1.3625, 0.8493, 0.7786
	sech := func(x float64) float64 { return 1 / math.Cosh(x) }
	return gain * (sech(math.Pow(f/f0, p)) - a*sech(f/f1))
}

// MeanOpticalTransfer is the mean modulation transfer of healthy eyes in best
// focus at f cycles per degree, for a pupil of d millimetres (2 to 6).
// Source: Watson (2013), J Vision 13(6):18.
func MeanOpticalTransfer(f, d float64) float64 {
	u1 := 21.95 - 5.512*d + 0.3922*d*d
	s := f / (d * math.Pi * 1e6 / (180 * 555))
	if s >= 1 {
		return 0
	}
	diffraction := 2 / math.Pi * (math.Acos(s) - s*math.Sqrt(1-s*s))
	return math.Pow(1+f/u1*f/u1, -0.62) * math.Sqrt(diffraction)
}

// The optics that the whole-eye sensitivity was measured through are taken to
// be those of a 4 mm pupil; beyond neuralLimit cycles per degree the quotient
// means nothing and the retina is taken to be blind.
const (
	neuralPupil = 4
	neuralLimit = retina.Finest
)

// Neural is the contrast sensitivity behind the optics, at f cycles per
// degree: the whole eye's, divided by the mean eye's optics. It is zero for
// an even field and beyond the finest detail that cones resolve.
func Neural(f float64) float64 {
	if f <= 0 || f > neuralLimit {
		return 0
	}
	return Sensitivity(f) / MeanOpticalTransfer(f, neuralPupil)
}
