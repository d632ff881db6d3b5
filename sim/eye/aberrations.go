package eye

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Aberrations are the higher-order aberrations (orders 3 to 6) of one eye.
// The zero value has none. Second-order terms belong to the refraction and
// are left out here, also those that appear when a pupil cuts a wavefront.
type Aberrations struct {
	Coefficients []float64 // micrometres by OSA single index, at Diameter
	Diameter     float64   // millimetres
	Deviates     []float64 // or: a drawn eye, in standard deviations from the mean of the norms
}

// None reports whether the eye has no aberrations.
func (a Aberrations) None() bool { return len(a.Coefficients) == 0 && len(a.Deviates) == 0 }

// Typical is an eye 0.79 standard deviations from the mean of the norms in every
// mode: the root of the mean square of such eyes is near the published median at
// 6 mm, 0.25 micrometres. Which side each mode falls on is drawn from the seed, lest
// all typical eyes have the same faults.
func Typical(seed uint64) Aberrations {
	r := rand.New(rand.NewPCG(seed, 0))
	d := make([]float64, len(norms))
	for i := range d {
		d[i] = 0.79
		if r.Uint64()%2 == 1 {
			d[i] = -0.79
		}
	}
	return Aberrations{Deviates: d}
}

// Draw takes an eye at random from the norms: every mode is normally
// distributed, on its own. Deviates are cut at three standard deviations.
func Draw(r *rand.Rand) Aberrations {
	d := make([]float64, len(norms))
	for i := range d {
		d[i] = max(-3, min(3, r.NormFloat64()))
	}
	return Aberrations{Deviates: d}
}

// Mirrored gives the aberrations of an other eye that is the mirror image of
// this one, as the two eyes of a person roughly are. In the standard notation
// the modes that are odd about the vertical change sign.
func (a Aberrations) Mirrored() Aberrations {
	out := a
	out.Coefficients = slices.Clone(a.Coefficients)
	for j := range out.Coefficients {
		out.Coefficients[j] *= mirrorSign(j)
	}
	out.Deviates = slices.Clone(a.Deviates)
	for i := range out.Deviates {
		out.Deviates[i] *= mirrorSign(firstNorm + i)
	}
	return out
}

// mirrorSign is the sign that the mode j takes when left and right change
// places. Source: the table for right and left eyes in Thibos and others
// (2000), standards for reporting the optical aberrations of eyes.
func mirrorSign(j int) float64 {
	_, m := Mode(j)
	odd := abs(m)%2 == 1
	if (m >= 0) == odd {
		return -1
	}
	return 1
}

// At gives the coefficients in micrometres by OSA single index, for a pupil
// diameter in millimetres; nil when there are none.
func (a Aberrations) At(diameter float64) []float64 {
	var c []float64
	switch {
	case len(a.Coefficients) > 0:
		c = Rescale(a.Coefficients, diameter/a.Diameter)
	case len(a.Deviates) > 0:
		c = drawnAt(a.Deviates, diameter)
	default:
		return nil
	}
	clear(c[:min(len(c), firstNorm)])
	return c
}

// drawnAt reads the norms at one diameter: straight lines between the
// measured diameters, and below and above them each mode by its own order's
// power of the diameter.
func drawnAt(deviates []float64, diameter float64) []float64 {
	last := len(normDiameters) - 1
	d := min(max(diameter, normDiameters[0]), normDiameters[last])
	i := 0
	for i < last-1 && d > normDiameters[i+1] {
		i++
	}
	x := (d - normDiameters[i]) / (normDiameters[i+1] - normDiameters[i])
	c := make([]float64, firstNorm+len(norms))
	for k := range norms {
		n, _ := Mode(firstNorm + k)
		at := func(i int) float64 { return norms[k].mean[i] + deviates[k]*norms[k].sd[i] }
		c[firstNorm+k] = (at(i) + x*(at(i+1)-at(i))) * math.Pow(diameter/d, float64(n))
	}
	return c
}

// RMS is the root of the summed squares of the coefficients: the RMS
// wavefront error in micrometres.
func RMS(c []float64) float64 {
	var s float64
	for _, v := range c {
		s += v * v
	}
	return math.Sqrt(s)
}
