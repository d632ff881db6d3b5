package eye

import "math"

// MaxOrder is the highest radial order of the aberrations that the program
// uses, and MaxIndex the last single index of that order.
const (
	MaxOrder = 6
	MaxIndex = 27
)

// Mode splits the single index j into radial order n and meridional
// frequency m. Source: Thibos, Applegate, Schwiegerling and Webb (2000),
// standards for reporting the optical aberrations of eyes, Eqs 5 and 6.
func Mode(j int) (n, m int) {
	n = int(math.Ceil((-3 + math.Sqrt(9+8*float64(j))) / 2))
	return n, 2*j - n*(n+2)
}

// Index is the single index of the mode (n, m).
func Index(n, m int) int { return (n*(n+2) + m) / 2 }

// Norm is the factor that gives the mode (n, m) unit variance over the pupil.
func Norm(n, m int) float64 {
	if m == 0 {
		return math.Sqrt(float64(n + 1))
	}
	return math.Sqrt(float64(2 * (n + 1)))
}

// Radial returns the coefficients of the radial polynomial R of the mode
// (n, m): element k multiplies r^k.
func Radial(n, m int) []float64 {
	m = abs(m)
	c := make([]float64, n+1)
	for s := 0; s <= (n-m)/2; s++ {
		v := factorial(n-s) / (factorial(s) * factorial((n+m)/2-s) * factorial((n-m)/2-s))
		if s%2 == 1 {
			v = -v
		}
		c[n-2*s] = v
	}
	return c
}

// Zernike is the value of the mode with single index j at radius r (1 at the
// pupil's edge) and angle t (radians, counter-clockwise as the examiner sees
// it).
func Zernike(j int, r, t float64) float64 {
	n, m := Mode(j)
	var v float64
	c := Radial(n, m)
	for k := n; k >= 0; k-- {
		v = v*r + c[k]
	}
	v *= Norm(n, m)
	if m < 0 {
		return v * math.Sin(float64(-m)*t)
	}
	return v * math.Cos(float64(m)*t)
}

// Rescale gives the coefficients (micrometres, by single index) that describe
// the central part of a wavefront: ratio is the new pupil diameter over the
// old, at most 1 for a true part; larger values extrapolate.
func Rescale(c []float64, ratio float64) []float64 {
	out := make([]float64, len(c))
	for m := -MaxOrder; m <= MaxOrder; m++ {
		rescaleFrequency(c, out, m, ratio)
	}
	return out
}

// rescaleFrequency works on the modes that share one meridional frequency:
// their sum is one polynomial in r, which is stretched and taken apart again
// from the highest order down.
func rescaleFrequency(c, out []float64, m int, ratio float64) {
	var poly [MaxOrder + 1]float64
	for n := abs(m); n <= MaxOrder; n += 2 {
		if j := Index(n, m); j < len(c) {
			for k, v := range Radial(n, m) {
				poly[k] += c[j] * Norm(n, m) * v * math.Pow(ratio, float64(k))
			}
		}
	}
	top := MaxOrder - (MaxOrder-abs(m))%2
	for n := top; n >= abs(m); n -= 2 {
		r := Radial(n, m)
		a := poly[n] / r[n]
		for k, v := range r {
			poly[k] -= a * v
		}
		if j := Index(n, m); j < len(out) {
			out[j] = a / Norm(n, m)
		}
	}
}

func abs(i int) int {
	if i < 0 {
		return -i
	}
	return i
}

func factorial(n int) float64 {
	f := 1.0
	for i := 2; i <= n; i++ {
		f *= float64(i)
	}
	return f
}
