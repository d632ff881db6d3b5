package retina

import (
	"math"
	"testing"

	"conoid/sim/eye"
	"conoid/sim/optics"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestModesAreTheZernikePolynomials(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := rapid.IntRange(0, eye.MaxIndex).Draw(t, "j")
		r, a := rapid.Float64Range(0, 1).Draw(t, "r"), rapid.Float64Range(0, 2*math.Pi).Draw(t, "angle")
		sin, cos := math.Sincos(a)
		require.InDelta(t, eye.Zernike(j, r, a), modes[j].at(r*cos, r*sin), 1e-12)
	})
}

func coefficients(at map[int]float64) []float64 {
	c := make([]float64, eye.MaxIndex+1)
	for j, v := range at {
		c[j] = v
	}
	return c
}

// Thibos and others (2000), OSA standard: c = -M r^2/(4 sqrt3) and so on, where
// (M, J0, J45) is the lens that corrects the eye; a residual is what such a lens
// would have to take away, so it has the other sign. One dioptre is 0.577350 um
// of c20 and 0.816497 um of c22 at 4 mm; the eye -2.00/-1.00x030 has, at 6 mm,
// c20 +3.2476, c22 -0.4593 and c2-2 -0.7955 um.
func TestSecondOrderZernikeIsResidual(t *testing.T) {
	one := map[int]optics.Power{4: {M: 1}, 5: {J0: 1}, 3: {J45: 1}}
	for j, c := range map[int]float64{4: 0.577350, 5: 0.816497, 3: 0.816497} {
		requireSameGradient(t, defocus(one[j]), zernike(coefficients(map[int]float64{j: c}), 2))
	}
	lens := optics.Rx{Sphere: -2, Cyl: -1, Axis: 30}.Power()
	requireSameGradient(t, defocus(lens.Scale(-1)), zernike(coefficients(map[int]float64{4: 3.2476, 5: -0.4593, 3: -0.7955}), 3))
}

func requireSameGradient(t *testing.T, a, b surface) {
	t.Helper()
	ax, ay, bx, by := a.dx(), a.dy(), b.dx(), b.dy()
	for _, q := range places {
		require.InDelta(t, ax.at(q.x, q.y), bx.at(q.x, q.y), 2e-4)
		require.InDelta(t, ay.at(q.x, q.y), by.at(q.x, q.y), 2e-4)
	}
}

// The patient's view is the examiner's with left and right exchanged, for the
// residual as for everything else.
func TestSeenByThePatient(t *testing.T) {
	p := typical(5)
	p.Residual = optics.Power{M: 0.3, J0: 0.7, J45: -0.9}
	v := p.seen()
	examiner := zernike(p.Zernike, 2.5)
	examiner.add(defocus(p.Residual))
	for _, q := range places {
		x, y := 2.5*q.x, 2.5*q.y
		require.InDelta(t, examiner.at(-x, y), v.w.at(x, y), 1e-12)
	}
	assert.Equal(t, -p.X0, v.x0)
	assert.Equal(t, p.Y0, v.y0)
}

func TestSurfaceTurnedAndStepped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := zernike(rapid.SliceOfN(rapid.Float64Range(-1, 1), eye.MaxIndex+1, eye.MaxIndex+1).Draw(t, "c"), 2)
		sin, cos := math.Sincos(rapid.Float64Range(0, 7).Draw(t, "angle"))
		u, v := rapid.Float64Range(-2, 2).Draw(t, "u"), rapid.Float64Range(-2, 2).Draw(t, "v")
		half := rapid.Float64Range(-1, 1).Draw(t, "half")
		q := s.turned(cos, sin)
		require.InDelta(t, s.at(u*cos-v*sin, u*sin+v*cos), q.at(u, v), 1e-8)
		d := s.step(half)
		require.InDelta(t, s.at(u+half, v)-s.at(u-half, v), d.at(u, v), 1e-7)
	})
}
