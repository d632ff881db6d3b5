package retina

import (
	"conoid/sim/eye"
	"conoid/sim/optics"
)

// surface is a wavefront in micrometres as a polynomial: element [a][b]
// multiplies x^a y^b, x and y in millimetres. A ray through a place on it is
// seen in the direction of the gradient there, in milliradians.
type surface [terms][terms]float64

const terms = eye.MaxOrder + 1

func (s *surface) add(q surface) {
	for a := range s {
		for b := range s[a] {
			s[a][b] += q[a][b]
		}
	}
}

// scaled is the surface with every height multiplied by k.
func (s surface) scaled(k float64) surface {
	for a := range s {
		for b := range s[a] {
			s[a][b] *= k
		}
	}
	return s
}

// mirrored changes left and right.
func (s surface) mirrored() surface {
	for a := 1; a < terms; a += 2 {
		for b := range s[a] {
			s[a][b] = -s[a][b]
		}
	}
	return s
}

// times is the product of two surfaces whose orders together stay within
// eye.MaxOrder.
func (s surface) times(q surface) (out surface) {
	for a := range s {
		for b := range s[a] {
			if s[a][b] == 0 {
				continue
			}
			for c := 0; c < terms-a; c++ {
				for d := 0; d < terms-b; d++ {
					out[a+c][b+d] += s[a][b] * q[c][d]
				}
			}
		}
	}
	return out
}

// row gives the polynomial in x at one height y.
func (s *surface) row(y float64) (c [terms]float64) {
	for a := range s {
		c[a] = horner(&s[a], y)
	}
	return c
}

// dx and dy are the derivatives.
func (s surface) dx() (out surface) {
	for a := 1; a < terms; a++ {
		for b := range s[a] {
			out[a-1][b] = float64(a) * s[a][b]
		}
	}
	return out
}

func (s surface) dy() (out surface) {
	for a := range s {
		for b := 1; b < terms; b++ {
			out[a][b-1] = float64(b) * s[a][b]
		}
	}
	return out
}

// order is the highest order with a term that is not 0.
func (s *surface) order() (most int) {
	for a := range s {
		for b, v := range s[a] {
			if v != 0 {
				most = max(most, a+b)
			}
		}
	}
	return most
}

func (s *surface) at(x, y float64) float64 {
	c := s.row(y)
	return horner(&c, x)
}

func horner(c *[terms]float64, x float64) float64 {
	v := c[terms-1]
	for a := terms - 2; a >= 0; a-- {
		v = v*x + c[a]
	}
	return v
}

// defocus is the wavefront of a residual power: half of (x, y) times its power
// matrix times (x, y). The sign is that of a residual, which is positive when
// the eye is too strong; the coefficients of Thibos and others (2000) describe
// the same wavefront by the lens that would correct it, with the other sign.
func defocus(r optics.Power) (s surface) {
	m := r.Matrix()
	s[2][0], s[1][1], s[0][2] = m.XX/2, m.XY, m.YY/2
	return s
}

// zernike is the sum of Zernike modes over a pupil of the given radius.
func zernike(c []float64, radius float64) (s surface) {
	for j, v := range c {
		if v != 0 {
			s.add(modes[j].scaled(v))
		}
	}
	k := 1.0 / radius
	var power [terms]float64
	power[0] = 1
	for i := 1; i < terms; i++ {
		power[i] = power[i-1] * k
	}
	for a := range s {
		for b := 0; b < terms-a; b++ {
			s[a][b] *= power[a+b]
		}
	}
	return s
}

// modes are the Zernike modes as polynomials on a pupil of radius 1.
var modes = func() (out [eye.MaxIndex + 1]surface) {
	for j := range out {
		out[j] = expand(eye.Mode(j))
	}
	return out
}()

// expand multiplies a mode out: r^|m| cos mt and r^|m| sin mt are the parts of
// (x + iy)^|m|, and what remains of the radial polynomial is even in r.
func expand(n, m int) (out surface) {
	var one, x, y, r2 surface
	one[0][0], x[1][0], y[0][1], r2[2][0], r2[0][2] = 1, 1, 1, 1, 1
	cos, sin := one, surface{}
	order := max(m, -m)
	for range order {
		c, s := cos.times(x), cos.times(y)
		c.add(sin.times(y).scaled(-1))
		s.add(sin.times(x))
		cos, sin = c, s
	}
	part := cos
	if m < 0 {
		part = sin
	}
	radial := eye.Radial(n, m)
	for k := order; k <= n; k += 2 {
		out.add(part.scaled(radial[k] * eye.Norm(n, m)))
		if k < n {
			part = part.times(r2)
		}
	}
	return out
}
