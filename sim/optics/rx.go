package optics

import "math"

// Rx is a lens as it is written down: sphere and cylinder in dioptres, the
// cylinder of either sign, and the cylinder's axis in degrees, 0 < Axis <= 180.
// Axis is 0 when there is no cylinder.
type Rx struct{ Sphere, Cyl, Axis float64 }

// Power is the power vector of r.
//
// Source: Thibos, Wheeler and Horner (1997), Optom Vis Sci 74:367-375.
func (r Rx) Power() Power {
	s, c := math.Sincos(2 * r.Axis * math.Pi / 180)
	return Power{r.SE(), -r.Cyl / 2 * c, -r.Cyl / 2 * s}
}

// Rx is p written with a minus cylinder. All three numbers are rounded to
// 1e-9, so that a sum of lenses reads as the lenses are marked, and a cylinder
// below 1e-9 D is none.
func (p Power) Rx() Rx {
	j := p.Astigmatism()
	if 2*j < 1e-9 {
		return Rx{Sphere: tidy(p.M)}
	}
	return Rx{tidy(p.M + j), tidy(-2 * j), axisOf(p.J0, p.J45)}
}

// Transpose writes the same lens with the other cylinder sign.
func (r Rx) Transpose() Rx {
	if r.Cyl == 0 {
		return r
	}
	return Rx{tidy(r.Sphere + r.Cyl), -r.Cyl, Axis(r.Axis + 90)}
}

// MinusCyl writes the same lens with a minus cylinder.
func (r Rx) MinusCyl() Rx {
	if r.Cyl > 0 {
		return r.Transpose()
	}
	return r
}

// Round rounds sphere and cylinder to the nearest multiple of step dioptres
// (halves away from zero) and the axis to a whole degree, 1 to 180. The
// cylinder keeps its sign. It panics unless step > 0.
func (r Rx) Round(step float64) Rx {
	if !(step > 0) {
		panic("optics: Rx.Round: step must be positive")
	}
	nearest := func(d float64) float64 { return tidy(math.Round(d/step) * step) }
	out := Rx{Sphere: nearest(r.Sphere), Cyl: nearest(r.Cyl)}
	if out.Cyl != 0 {
		out.Axis = Axis(math.Round(r.Axis))
	}
	return out
}

// SE is the spherical equivalent in dioptres.
func (r Rx) SE() float64 { return r.Sphere + r.Cyl/2 }

// tidy rounds to 1e-9, far below anything that can be seen or marked, and
// turns a negative zero into zero. Numbers too large for that stay as they are.
func tidy(x float64) float64 {
	if !(math.Abs(x) < 1e6) {
		return x
	}
	return math.Round(x*1e9)/1e9 + 0
}
