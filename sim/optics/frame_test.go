package optics_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/fact"
	"conoid/sim/optics"
)

var far = math.Inf(1)

// A -4.00 lens 5 mm in front of a -8.00 acts as -4.00 / (1 + 0.005 x 4.00),
// which is -3.92: effectivity, F / (1 - dF).
func TestLensInFrontActsWeaker(t *testing.T) {
	f := optics.NewFrame(0.012)
	require.Equal(t, 0.005, f.Spacing)
	f.Lenses[optics.Back] = optics.SphereOf(-8)
	f.Lenses[optics.Front1] = optics.SphereOf(-4)
	assert.Equal(t, optics.Rx{Sphere: -12}, f.Prescription())
	assert.InDelta(t, -8-3.92, f.Effective(far).Sphere, printed2)
	assert.InDelta(t, -8-4/1.02, f.Effective(far).Sphere, float)
}

// Each cell and the hand stand where they should: a lens n places in front of
// the back cell acts as F / (1 - nsF) there.
func TestPlacesOfTheLenses(t *testing.T) {
	lens := optics.CylinderOf(5, 20)
	for place := 0; place <= optics.Cells; place++ {
		f := optics.Frame{Vertex: 0.014, Spacing: 0.004}
		if place < optics.Cells {
			f.Lenses[place] = lens
		} else {
			f.Held = lens
		}
		want := optics.Rx{0, 5 / (1 - float64(place)*0.004*5), 20}.MinusCyl()
		assertRx(t, want, f.Effective(far), float, 1e-6, "place %d", place)
	}
}

func TestEmptyFrame(t *testing.T) {
	f := optics.NewFrame(0.012)
	for _, distance := range []float64{0.4, 1, 6, far} {
		assertPower(t, optics.Sphere(-1/distance), f.AtCornea(distance), float)
		assertPower(t, optics.Sphere(-1/distance), optics.Required(optics.Rx{}, 0.012, distance), float)
		assert.Equal(t, optics.Rx{}, f.Effective(distance))
	}
	assert.Equal(t, optics.Rx{}, f.Prescription())
}

// The order of the cells matters, as it does for no plain sum.
func TestOrderOfLenses(t *testing.T) {
	a, b := optics.NewFrame(0.012), optics.NewFrame(0.012)
	a.Lenses = [optics.Cells]optics.Lens{optics.SphereOf(-8), optics.SphereOf(4)}
	b.Lenses = [optics.Cells]optics.Lens{optics.SphereOf(4), optics.SphereOf(-8)}
	assert.Equal(t, a.Prescription(), b.Prescription())
	assert.Greater(t, math.Abs(a.Effective(6).Sphere-b.Effective(6).Sphere), 0.1)
}

func TestHandHeldLensIsWornButNotPrescribed(t *testing.T) {
	f := optics.NewFrame(0.012)
	f.Lenses[optics.Back] = optics.SphereOf(-2)
	f.Held = optics.SphereOf(1)
	assert.Equal(t, optics.Rx{Sphere: -2}, f.Prescription())
	assert.InDelta(t, -1, f.Effective(6).Sphere, 0.05)
}

// A cylinder held up at an axis does what it does in the frame, but for the distance
// between: a thin lens adds its power vector (Thibos, Wheeler and Horner 1997).
func TestHandHeldCylinderAddsItsPowerVector(t *testing.T) {
	f := optics.NewFrame(0.012)
	f.Lenses[optics.Back], f.Held = optics.SphereOf(-2), optics.CylinderOf(-0.5, 30)
	assert.Equal(t, optics.Rx{Sphere: -2}, f.Prescription())
	off := f.AtCornea(6).Sub(without(f).AtCornea(6)).Sub(optics.Rx{Cyl: -0.5, Axis: 30}.Power())
	assert.InDelta(t, 0, off.M, 0.03)
	assert.InDelta(t, 0, math.Hypot(off.J0, off.J45), 0.03)
}

func without(f optics.Frame) optics.Frame {
	f.Held = optics.Lens{}
	return f
}

func TestPrescriptionIsThePlainSum(t *testing.T) {
	f := optics.NewFrame(0.012)
	f.Lenses = [optics.Cells]optics.Lens{
		optics.SphereOf(-1.5), optics.CylinderOf(-0.5, 165), optics.SphereOf(-0.25), optics.Pinhole(),
	}
	assert.Equal(t, optics.Rx{-1.75, -0.5, 165}, f.Prescription())
	f.Lenses[optics.Front1] = optics.CylinderOf(0.5, 75)
	assert.Equal(t, optics.Rx{-1.25, -0.5, 165}, f.Prescription(), "plus cylinders come out as minus")
}

// A lens alone in the back cell is what it is marked, and is what the eye that
// needs it needs; what is really worn can stand for all the lenses.
func TestEffectiveStandsForTheWholeFrame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		power := rapid.Float64Range(-15, 15)
		distance := rapid.Float64Range(0.3, 8).Draw(t, "distance")
		f := optics.NewFrame(rapid.Float64Range(0.008, 0.020).Draw(t, "vertex"))
		f.Lenses = [optics.Cells]optics.Lens{
			optics.SphereOf(power.Draw(t, "back")),
			optics.CylinderOf(power.Draw(t, "cyl")/3, drawAxis(t)),
			optics.CylinderOf(power.Draw(t, "cyl")/3, drawAxis(t)),
			optics.SphereOf(power.Draw(t, "front")),
		}
		worn := f.Effective(distance)
		assertNear(t, f.AtCornea(distance), optics.Required(worn, f.Vertex, distance))

		alone := optics.NewFrame(f.Vertex)
		alone.Lenses[optics.Back] = f.Lenses[optics.Back]
		assertNear(t, alone.Prescription().Power(), alone.Effective(distance).Power())
	})
}

// By hand for -10.00 at 12 mm and a chart 0.512 m away: -2.00 D arrives at the
// lens, -12.00 D leaves it, and -12.00 / (1 + 0.012 x 12.00) D meets the cornea.
func TestChartNearby(t *testing.T) {
	got := optics.Required(optics.Rx{Sphere: -10}, 0.012, 0.512)
	assertPower(t, optics.Sphere(-12/1.144), got, float)
}

func TestBlockedAndPinhole(t *testing.T) {
	f := optics.NewFrame(0.012)
	assert.False(t, f.Blocked() || f.HasPinhole())
	f.Lenses[optics.Front3] = optics.Occluder()
	assert.True(t, f.Blocked())
	assert.False(t, f.HasPinhole())
	f = optics.Frame{Held: optics.Pinhole()}
	assert.True(t, f.HasPinhole())
	assert.False(t, f.Blocked())
}

func TestChartInsideTheFrameIsAMistake(t *testing.T) {
	f := optics.NewFrame(0.012)
	for _, distance := range []float64{0.032, 0, -6, math.NaN()} {
		assert.Panics(t, func() { f.AtCornea(distance) }, "%g m", distance)
	}
}

func TestCells(t *testing.T) {
	for c := range optics.Cell(optics.Cells) {
		got, err := optics.ParseCell(c.String())
		require.NoError(t, err)
		assert.Equal(t, c, got)
	}
	got, err := optics.ParseCell(" Front2 ")
	require.NoError(t, err)
	assert.Equal(t, optics.Front2, got)
	_, err = optics.ParseCell("front 4")
	assert.Equal(t, fact.New("optics.no-cell", "text", "front 4", "cells", optics.AllCells()), why(t, err))
	assert.Equal(t, "no cell (9)", optics.Cell(9).String())
}
