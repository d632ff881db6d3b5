package optics

import "math"

// Matrix is a sphero-cylindrical power or vergence as a symmetric 2x2 power
// matrix in dioptres, x to the examiner's right and y up.
//
// Source: Long (1976), Am J Optom Physiol Opt 53:27-33.
type Matrix struct{ XX, XY, YY float64 }

// Matrix is p as a power matrix.
func (p Power) Matrix() Matrix { return Matrix{p.M + p.J0, p.J45, p.M - p.J0} }

// Power is m as a power vector.
func (m Matrix) Power() Power {
	return Power{(m.XX + m.YY) / 2, (m.XX - m.YY) / 2, m.XY}
}

// Travel is what the vergence p becomes after d metres toward the eye (d < 0:
// back toward the chart): V (I - dV)^-1, that is F / (1 - dF) in each
// principal meridian. At a focus, where no number would do, the result is a
// very large power, always finite for a finite p.
func (p Power) Travel(d float64) Power {
	if d == 0 {
		return p
	}
	j := p.Astigmatism()
	strong, weak := p.M+j, p.M-j
	a, b := awayFromZero(1-d*strong), awayFromZero(1-d*weak)
	// (strong/a - weak/b) / 2 is j/(ab), which loses no figures when j is small.
	k := 1 / (a * b)
	return Power{(strong/a + weak/b) / 2, p.J0 * k, p.J45 * k}
}

// awayFromZero keeps a divisor at least 1e-9 from zero.
func awayFromZero(x float64) float64 {
	const least = 1e-9
	if math.Abs(x) < least {
		return math.Copysign(least, x)
	}
	return x
}
