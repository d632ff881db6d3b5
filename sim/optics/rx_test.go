package optics_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"conoid/sim/optics"
)

func drawPower(t *rapid.T) optics.Power {
	d := rapid.Float64Range(-20, 20)
	return optics.Power{d.Draw(t, "M"), d.Draw(t, "J0"), d.Draw(t, "J45")}
}

func drawAxis(t *rapid.T) float64 {
	return optics.Axis(rapid.Float64Range(0, 180).Draw(t, "axis"))
}

// drawRx draws what can be marked: hundredths of a dioptre, whole degrees.
func drawRx(t *rapid.T) optics.Rx {
	rx := optics.Rx{
		Sphere: float64(rapid.IntRange(-4000, 4000).Draw(t, "sphere")) / 100,
		Cyl:    float64(rapid.IntRange(-2000, 2000).Draw(t, "cyl")) / 100,
	}
	if rx.Cyl != 0 {
		rx.Axis = float64(rapid.IntRange(1, 180).Draw(t, "axis"))
	}
	return rx
}

func TestRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPower(t)
		assertNear(t, p, p.Matrix().Power())
		assertNear(t, p, p.Rx().Power())
	})
}

func assertNear(t *rapid.T, want, got optics.Power) {
	t.Helper()
	assert.InDelta(t, 0, want.Sub(got).Norm(), 1e-7, "want %v, got %v", want, got)
}

func TestMarkedLensesComeBackExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rx := drawRx(t)
		assert.Equal(t, rx.MinusCyl(), rx.Power().Rx())
		assert.LessOrEqual(t, rx.Power().Rx().Cyl, 0.0)
	})
}

func TestTransposition(t *testing.T) {
	// The worked rule: add the powers, change the cylinder's sign, turn the
	// axis by 90 degrees.
	assert.Equal(t, optics.Rx{-2.25, 0.5, 75}, optics.Rx{-1.75, -0.5, 165}.Transpose())
	assert.Equal(t, optics.Rx{0, -1, 180}, optics.Rx{-1, 1, 90}.MinusCyl())
	assert.Equal(t, optics.Rx{0, -1, 90}, optics.Rx{0, -1, 90}.MinusCyl())
	assert.Equal(t, optics.Rx{Sphere: 2}, optics.Rx{Sphere: 2}.Transpose())
	rapid.Check(t, func(t *rapid.T) {
		rx := drawRx(t)
		assert.Equal(t, rx, rx.Transpose().Transpose())
		assertNear(t, rx.Power(), rx.Transpose().Power())
		if rx.Cyl != 0 {
			assert.Equal(t, -rx.Cyl, rx.Transpose().Cyl)
		}
	})
}

func TestAdditionIsAssociative(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := drawPower(t), drawPower(t), drawPower(t)
		assertNear(t, a.Add(b).Add(c), a.Add(b.Add(c)))
		assertNear(t, a, a.Add(b).Sub(b))
	})
}

func TestTravelThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Powers up to 55 D over 15 mm never come to a focus on the way.
		p, d := drawPower(t), rapid.Float64Range(-0.015, 0.015).Draw(t, "d")
		assertNear(t, p, p.Travel(d).Travel(-d))
		assertNear(t, p.Travel(d), p.Travel(d/3).Travel(2*d/3))
	})
}

// Travel against the matrix formula V (I - dV)^-1, solved by Cramer's rule.
func TestTravelIsTheMatrixFormula(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, d := drawPower(t), rapid.Float64Range(-0.015, 0.015).Draw(t, "d")
		v := p.Matrix()
		a, b, c := 1-d*v.XX, -d*v.XY, 1-d*v.YY
		det := a*c - b*b
		want := optics.Matrix{
			XX: (v.XX*c - v.XY*b) / det,
			XY: (v.XY*a - v.XX*b) / det,
			YY: (v.YY*a - v.XY*b) / det,
		}
		assertNear(t, want.Power(), p.Travel(d))
	})
}

// Minus cylinders shrink on the way to the eye in a myope's lens and grow in a
// hyperope's.
func TestCylinderAtTheCornea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size, axis := rapid.Float64Range(0.25, 15).Draw(t, "size"), drawAxis(t)
		cyl := -rapid.Float64Range(0.01, 0.2).Draw(t, "cyl")
		myope := optics.Rx{-size, cyl, axis}.Power()
		hyperope := optics.Rx{size, cyl, axis}.Power()
		assert.Less(t, myope.Travel(0.012).Astigmatism(), myope.Astigmatism())
		assert.Greater(t, hyperope.Travel(0.012).Astigmatism(), hyperope.Astigmatism())
	})
}

func TestRound(t *testing.T) {
	assert.Equal(t, optics.Rx{-1.75, -0.5, 166}, optics.Rx{-1.69, -0.61, 165.6}.Round(0.25))
	assert.Equal(t, optics.Rx{-1.69, -0.61, 180}, optics.Rx{-1.6912, -0.6088, 0.3}.Round(0.01))
	assert.Equal(t, optics.Rx{Sphere: 0.25}, optics.Rx{0.125, -0.1, 30}.Round(0.25), "no cylinder, no axis")
	assert.False(t, math.Signbit(optics.Rx{Sphere: -0.1}.Round(0.25).Sphere), "no minus zero")
	assert.PanicsWithValue(t, "optics: Rx.Round: step must be positive", func() { optics.Rx{}.Round(0) })
}

func TestPrinting(t *testing.T) {
	for _, c := range []struct {
		rx          optics.Rx
		text, ascii string
	}{
		{optics.Rx{-1.75, -0.5, 165}, "−1.75 / −0.50 x 165", "-1.75 / -0.50 x 165"},
		{optics.Rx{1.5, 0.75, 5}, "+1.50 / +0.75 x 5", "+1.50 / +0.75 x 5"},
		{optics.Rx{Sphere: -0.5}, "−0.50 DS", "-0.50 DS"},
		{optics.Rx{}, "plano", "plano"},
		{optics.Rx{0, -1, 180}, "plano / −1.00 x 180", "plano / -1.00 x 180"},
		{optics.Rx{-0.004, -0.003, 20}, "plano", "-0.004 / -0.003 x 20"},
		{optics.Rx{-3.9216, -0.5, 22.5}, "−3.92 / −0.50 x 23", "-3.9216 / -0.50 x 22.5"},
		{optics.Rx{1, -0.5, 0.3}, "+1.00 / −0.50 x 180", "+1.00 / -0.50 x 0.3"},
		{optics.Rx{0.125, -0.375, 90}, "+0.12 / −0.37 x 90", "+0.125 / -0.375 x 90"},
		{optics.Rx{-0.626, 2.874, 90}, "−0.63 / +2.87 x 90", "-0.626 / +2.874 x 90"},
	} {
		assert.Equal(t, c.text, c.rx.String())
		assert.Equal(t, c.ascii, c.rx.ASCII())
	}
}
