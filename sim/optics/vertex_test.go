package optics_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/optics"
)

func TestPublishedVertexConversions(t *testing.T) {
	const table = "contact lens vertex table, calcbee.com, 12 mm"
	for _, c := range []struct {
		source          string
		lens, mm, there float64
		tol             float64
	}{
		{table, -12, 12, -10.49, printed2}, {table, -10, 12, -8.93, printed2}, {table, -8, 12, -7.30, printed2},
		{table, -6, 12, -5.60, printed2}, {table, -5, 12, -4.72, printed2}, {table, -4, 12, -3.82, printed2},
		{table, -3, 12, -2.90, printed2}, {table, -2, 12, -1.95, printed2}, {table, -1, 12, -0.99, printed2},
		{table, 1, 12, 1.01, printed2}, {table, 2, 12, 2.05, printed2}, {table, 3, 12, 3.11, printed2},
		{table, 4, 12, 4.20, printed2}, {table, 5, 12, 5.32, printed2}, {table, 6, 12, 6.47, printed2},
		{table, 8, 12, 8.85, printed2}, {table, 10, 12, 11.36, printed2}, {table, 12, 12, 14.02, printed2},
		{"CLSA EyeWitness, Spring 2011, p. 27", 5, 12, 5.32, printed2},
		{"optometry.fans, vertex distance, printed to a quarter", 13, 12, 15.50, 0.125},
		{"besturduquotes.net, vertex distance", -8, 14, -7.19, printed2},
		{"calculator.7search.cc, vertex distance", 5, 10, 5.26, printed2},
		{"calculator.7search.cc, vertex distance", 10, 20, 12.50, printed2},
		{"worked out from F / (1 - dF)", -10, 14, -8.772, 0.0005},
		{"worked out from F / (1 - dF)", -5, 14, -4.673, 0.0005},
		{"worked out from F / (1 - dF)", 5, 14, 5.376, 0.0005},
		{"worked out from F / (1 - dF)", 10, 14, 11.628, 0.0005},
	} {
		got := optics.Sphere(c.lens).Travel(c.mm / 1000)
		assertPower(t, optics.Sphere(c.there), got, c.tol, "%s: %g D at %g mm", c.source, c.lens, c.mm)
	}
}

func TestVertexOfSpheroCylinders(t *testing.T) {
	for _, c := range []struct {
		source string
		lens   optics.Rx
		mm     float64
		want   optics.Rx
		tol    float64
	}{
		{"optiboard.com thread 70987, to eighths of a dioptre", optics.Rx{-4.25, -0.75, 90}, 14, optics.Rx{-4, -0.62, 90}, 0.07},
		// Both principal meridians by F / (1 - dF), worked out by hand.
		{"meridians", optics.Rx{-4.25, -0.75, 90}, 14, optics.Rx{-4.0113, -0.6616, 90}, 0.0005},
		{"meridians", optics.Rx{-4, -2, 180}, 12, optics.Rx{-3.8168, -1.7802, 180}, 0.0005},
		{"meridians", optics.Rx{-8, -3, 30}, 12, optics.Rx{-7.2993, -2.4180, 30}, 0.0005},
		{"meridians", optics.Rx{6, -3, 170}, 12, optics.Rx{6.4655, -3.3535, 170}, 0.0005},
		{"meridians", optics.Rx{5.5, -2.25, 45}, 13, optics.Rx{5.9235, -2.5302, 45}, 0.0005},
	} {
		got := c.lens.Power().Travel(c.mm / 1000).Rx()
		assertRx(t, c.want, got, c.tol, 1e-6, "%s: %v at %g mm", c.source, c.lens, c.mm)
	}
}

// Carrying the spherical equivalent alone is a known mistake: the cylinder
// changes it.
func TestSphericalEquivalentDoesNotTravelAlone(t *testing.T) {
	rx := optics.Rx{-8, -3, 30}
	alone := optics.Sphere(rx.SE()).Travel(0.012).M
	assert.Greater(t, math.Abs(rx.Power().Travel(0.012).M-alone), 0.005)
}

// The power factor of spectacle magnification, 1 / (1 - dF), is what Travel
// multiplies a power by. The values follow from that textbook formula.
func TestPowerFactor(t *testing.T) {
	for _, c := range []struct{ lens, mm, factor float64 }{
		{-10, 12, 0.8929}, {-10, 15, 0.8696}, {-5, 12, 0.9434}, {-5, 15, 0.9302},
		{5, 12, 1.0638}, {5, 15, 1.0811}, {6, 12, 1.0776}, {6, 15, 1.0989}, {10, 12, 1.1364}, {10, 15, 1.1765},
	} {
		got := optics.Sphere(c.lens).Travel(c.mm/1000).M / c.lens
		assert.InDelta(t, c.factor, got, 5.1e-5, "%g D at %g mm", c.lens, c.mm)
	}
	along := optics.Rx{0, -2, 180}.Power().Travel(0.015)
	assert.InDelta(t, 0, along.At(180), float)
	assert.InDelta(t, -2*0.9709, along.At(90), 1.1e-4)
}

// At a focus there is no vergence to name; the answer is huge and finite.
func TestTravelToAFocus(t *testing.T) {
	for _, p := range []optics.Power{
		optics.Sphere(100), optics.Sphere(-100), {75, 25, 0}, {75, 0, -25}, {125, 15, 20},
	} {
		for _, d := range []float64{0.01, -0.01} {
			got := p.Travel(d)
			for _, x := range []float64{got.M, got.J0, got.J45} {
				assert.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%v over %g m: %v", p, d, got)
			}
			if d > 0 && p.M > 0 {
				assert.Greater(t, got.Norm(), 1e6, "%v over %g m", p, d)
			}
		}
	}
}
