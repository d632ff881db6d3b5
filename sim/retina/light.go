package retina

import (
	"math"

	"conoid/sim/chart"
)

// Light is a spectrum sampled at a few wavelengths (nanometres). Weights are
// shares of luminance and sum to 1.
type Light struct{ Nm, Weight []float64 }

// luminosity is the photopic luminous efficiency V at 480 to 640 nm in steps
// of 10 nm. Source: CIE 1924.
var luminosity = [...]float64{
	0.139020, 0.208020, 0.323000, 0.503000, 0.710000, 0.862000, 0.954000, 0.994950, 0.995000,
	0.952000, 0.870000, 0.757000, 0.631000, 0.503000, 0.381000, 0.265000, 0.175000,
}

// White is light of equal energy as an eye weighs it, at nine wavelengths.
func White() Light {
	return sampled(480, 640, 20, func(float64) float64 { return 1 })
}

// The duochrome's filters: the wavelengths of their peaks, from memory
// (Bennett and Rabbetts, Clinical Visual Optics), and a bandwidth of the
// project's choice, narrow enough that the peaks decide.
const (
	greenPeak   = 535.0
	redPeak     = 620.0
	filterSigma = 10.0 // nanometres
)

// Filter is the light that a part of a chart is seen in.
func Filter(l chart.Light) Light {
	switch l {
	case chart.White:
		return White()
	case chart.Green:
		return around(greenPeak)
	case chart.Red:
		return around(redPeak)
	}
	panic("retina: unknown light")
}

func around(peak float64) Light {
	return sampled(peak-20, peak+20, 10, func(nm float64) float64 {
		d := (nm - peak) / filterSigma
		return math.Exp(-d * d / 2)
	})
}

// sampled weighs an energy spectrum by the eye's luminosity, from one
// wavelength to another in equal steps.
func sampled(from, to, step float64, energy func(nm float64) float64) Light {
	var l Light
	for nm := from; nm <= to; nm += step {
		i := min(int((nm-480)/10), len(luminosity)-2)
		x := (nm-480)/10 - float64(i)
		v := luminosity[i] + x*(luminosity[i+1]-luminosity[i])
		l.Nm = append(l.Nm, nm)
		l.Weight = append(l.Weight, v*energy(nm))
	}
	return l.normalised()
}

// Through is the light behind something that lets a share of each wavelength
// through, such as an ageing lens. The weights sum to 1 again: an eye adapts
// to how bright its world is.
func (l Light) Through(transmittance func(nm float64) float64) Light {
	out := Light{Nm: l.Nm, Weight: make([]float64, len(l.Weight))}
	for i, nm := range l.Nm {
		out.Weight[i] = l.Weight[i] * transmittance(nm)
	}
	return out.normalised()
}

func (l Light) normalised() Light {
	var sum float64
	for _, w := range l.Weight {
		sum += w
	}
	if !(sum > 0) {
		panic("retina: a light without any luminance")
	}
	for i := range l.Weight {
		l.Weight[i] /= sum
	}
	return l
}
