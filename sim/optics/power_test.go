package optics_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/optics"
)

// half of the last printed figure of the tables with two decimals, and a
// little for the values that fall on the half itself.
const printed2 = 0.0051

// float covers what is lost to the last bits of a float.
const float = 1e-9

func assertPower(t *testing.T, want, got optics.Power, tol float64, what ...any) {
	t.Helper()
	assert.InDelta(t, want.M, got.M, tol, what...)
	assert.InDelta(t, want.J0, got.J0, tol, what...)
	assert.InDelta(t, want.J45, got.J45, tol, what...)
}

func assertRx(t *testing.T, want, got optics.Rx, powerTol, axisTol float64, what ...any) {
	t.Helper()
	assert.InDelta(t, want.Sphere, got.Sphere, powerTol, what...)
	assert.InDelta(t, want.Cyl, got.Cyl, powerTol, what...)
	assert.InDelta(t, 0, optics.AxisDifference(want.Axis, got.Axis), axisTol, what...)
}

func sum(lenses ...optics.Rx) optics.Rx {
	var p optics.Power
	for _, l := range lenses {
		p = p.Add(l.Power())
	}
	return p.Rx()
}

// The formulas are those of Thibos, Wheeler and Horner (1997), Optom Vis Sci
// 74:367-375, and for the matrix of Long (1976), Am J Optom Physiol Opt
// 53:27-33. The numbers were worked out from them by hand, to four places.
func TestConversions(t *testing.T) {
	const tol = 0.0005
	for _, c := range []struct {
		rx     optics.Rx
		power  optics.Power
		norm   float64
		matrix optics.Matrix
	}{
		{optics.Rx{-2, -1, 180}, optics.Power{-2.5, 0.5, 0}, 2.5495, optics.Matrix{-2, 0, -3}},
		{optics.Rx{-2, -1, 90}, optics.Power{-2.5, -0.5, 0}, 2.5495, optics.Matrix{-3, 0, -2}},
		{optics.Rx{-2, -1, 45}, optics.Power{-2.5, 0, 0.5}, 2.5495, optics.Matrix{-2.5, 0.5, -2.5}},
		{optics.Rx{-2, -1, 30}, optics.Power{-2.5, 0.25, 0.4330}, 2.5495, optics.Matrix{-2.25, 0.4330, -2.75}},
		{optics.Rx{1.5, -2.25, 75}, optics.Power{0.375, -0.9743, 0.5625}, 1.1859, optics.Matrix{-0.5993, 0.5625, 1.3493}},
		{optics.Rx{-3.25, -1.75, 165}, optics.Power{-4.125, 0.7578, -0.4375}, 4.2168, optics.Matrix{-3.3672, -0.4375, -4.8828}},
		{optics.Rx{0.25, -0.5, 45}, optics.Power{0, 0, 0.25}, 0.25, optics.Matrix{0, 0.25, 0}},
	} {
		p := c.rx.Power()
		assertPower(t, c.power, p, tol, c.rx)
		assert.InDelta(t, c.norm, p.Norm(), tol, c.rx)
		m := p.Matrix()
		assert.InDelta(t, c.matrix.XX, m.XX, tol, c.rx)
		assert.InDelta(t, c.matrix.XY, m.XY, tol, c.rx)
		assert.InDelta(t, c.matrix.YY, m.YY, tol, c.rx)
		assert.Equal(t, c.rx, p.Rx(), "whole axes and quarters come back exactly")
	}
}

// F(t) = S + C sin^2(t - a): the power along a meridian.
func TestPowerAlongAMeridian(t *testing.T) {
	rx := optics.Rx{-1.25, -2, 30}
	p := rx.Power()
	for deg := 0.0; deg < 180; deg += 7.5 {
		s := math.Sin((deg - 30) * math.Pi / 180)
		assert.InDelta(t, -1.25-2*s*s, p.At(deg), float, "meridian %g", deg)
	}
	assert.InDelta(t, rx.SE(), p.M, float)
	assert.InDelta(t, 1, p.Astigmatism(), float)
}

func TestSumsOfLenses(t *testing.T) {
	for _, c := range []struct {
		source   string
		lenses   []optics.Rx
		want     optics.Rx
		powerTol float64
		axisTol  float64
	}{
		{"Gatinel, Addition of astigmatisms (web page)",
			[]optics.Rx{{-2, -2, 180}, {1, -1, 90}}, optics.Rx{-2, -1, 180}, 0.005, 0.05},
		{"The Indian Optician, May-June 2022, p. 105",
			[]optics.Rx{{1.75, 0.5, 45}, {-2.25, -1, 135}}, optics.Rx{0, -1.5, 135}, 0.005, 0.05},
		{"same axis: the powers add", []optics.Rx{{0, -2, 90}, {0, -1, 90}}, optics.Rx{0, -3, 90}, float, float},
		{"equal crossed cylinders, The Indian Optician, May-June 2022, p. 105: S = 2F sin^2(g/2), C = 2(F-S), axis g/2",
			[]optics.Rx{{0, 2, 180}, {0, 2, 60}}, optics.Rx{1, 2, 30}.Transpose(), 0.005, 0.05},
		{"worked out from the matrix formulas of Long (1976)",
			[]optics.Rx{{-4, 2, 45}, {-5, -3, 120}}, optics.Rx{-7.0817, -4.8366, 125.966}, 0.0005, 0.0005},
		{"worked out from the matrix formulas of Long (1976)",
			[]optics.Rx{{0, -2, 180}, {-2, 2, 135}}, optics.Rx{-0.5858, -2.8284, 22.5}, 0.0005, 0.0005},
		{"worked out from the matrix formulas of Long (1976)",
			[]optics.Rx{{0, 2, 120}, {0, -2.25, 80}}, optics.Rx{1.2443, -2.7386, 57.005}, 0.0005, 0.0005},
		// The next two are often worked out wrongly, by adding the cylinders
		// although their axes lie 90 degrees apart.
		{"perpendicular axes", []optics.Rx{{0, 2, 120}, {0, -2.25, 30}}, optics.Rx{2, -4.25, 30}, float, float},
		{"perpendicular axes", []optics.Rx{{0.69, -3, 150}, {-3.1, -5.05, 60}}, optics.Rx{-5.41, -2.05, 60}, float, float},
	} {
		assertRx(t, c.want, sum(c.lenses...), c.powerTol, c.axisTol, c.source)
	}
}

// Two crossed cylinders by the classical formula of Thompson, as given by
// Bennett and Rabbetts (1984), Clinical Visual Optics.
func TestThompsonsFormula(t *testing.T) {
	for _, c1 := range []float64{-3, -0.75, 1, 2.5} {
		for _, c2 := range []float64{-2, -0.5, 0.25, 4} {
			for g := 5.0; g < 90; g += 5 {
				rad := g * math.Pi / 180
				cr := math.Sqrt((c1+c2)*(c1+c2) - 4*c1*c2*math.Sin(rad)*math.Sin(rad))
				q := math.Atan(math.Tan(rad) * (-c1 + c2 + cr) / (c1 + c2 + cr))
				want := optics.Rx{(c1 + c2 - cr) / 2, cr, optics.Axis(20 + q*180/math.Pi)}
				got := sum(optics.Rx{0, c1, 20}, optics.Rx{0, c2, 20 + g})
				assertRx(t, want.MinusCyl(), got, 1e-8, 1e-6, "%g and %g, %g degrees apart", c1, c2, g)
			}
		}
	}
}

func TestTinyCylinderIsNone(t *testing.T) {
	assert.Equal(t, optics.Rx{Sphere: 2}, optics.Power{2, 3e-10, -3e-10}.Rx())
	assert.Equal(t, optics.Rx{Sphere: 0}, optics.Power{}.Rx())
	rx := optics.Power{2, 3e-9, 0}.Rx()
	require.NotZero(t, rx.Cyl)
	assert.Equal(t, 180.0, rx.Axis)
}
