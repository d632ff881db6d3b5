package chart_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/chart"
)

// An arrow straight up, as the patient sees it: its left limb runs back and
// left from the tip, so that it leans to the right, and the other way about.
func TestArrowLimbsOfAnArrowStraightUp(t *testing.T) {
	left, right := chart.ArrowLimbs(180)
	assert.Less(t, left.Centre.X, 0.0)
	assert.Greater(t, right.Centre.X, 0.0)
	assert.InDelta(t, 90-chart.HalfAngle, left.Angle, 1e-9)
	assert.InDelta(t, 90+chart.HalfAngle, right.Angle, 1e-9)
}

func TestArrowPointsToItsLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		label := rapid.Float64Range(0.1, 180).Draw(t, "label")
		var tip chart.Point
		for p := range points(drawn(chart.Arrow, chart.Hung{Pointer: label}).Layers[0].Shapes...) {
			if math.Hypot(p.X, p.Y) > math.Hypot(tip.X, tip.Y) {
				tip = p
			}
		}
		assert.InDelta(t, 0, math.Remainder(direction(tip)-chart.AngleOf(label), 360), 1e-6)
	})
}

// The limbs that are judged are drawn, and nothing else is near them.
func TestArrowDrawsItsLimbs(t *testing.T) {
	for _, label := range []float64{180, 90, 91, 89, 35, 127.5} {
		shapes := drawn(chart.Arrow, chart.Hung{Pointer: label}).Layers[0].Shapes
		require.Len(t, shapes, 2)
		shaft, head := shapes[0], shapes[1]
		left, right := chart.ArrowLimbs(label)
		for _, l := range []chart.Line{left, right} {
			half := l.Length / 2
			for d := -half + 0.01; d < half; d += 1 {
				for _, across := range []float64{-0.49, 0, 0.49} {
					assert.True(t, covers(head, along(l, d, across*l.Width)), "label %v", label)
				}
			}
			for d := -half / 2; d <= half/2; d++ {
				assert.InDelta(t, l.Width, thickness(head, along(l, d, 0), l.Angle+90), 1e-9, "label %v", label)
				assert.Empty(t, near(shaft, along(l, d, 0), l.Angle+90, 10))
			}
		}
	}
}

// near are the stretches of ink within a distance along a line.
func near(s chart.Shape, at chart.Point, angle, distance float64) []span {
	var out []span
	for _, sp := range spans(s, at, angle) {
		if sp.from < distance && sp.to > -distance {
			out = append(out, sp)
		}
	}
	return out
}

// Limbs at equal angles to the shaft, one on each side of it, at every turn.
func TestArrowIsEvenAboutItsShaft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		label := rapid.Float64Range(0.1, 180).Draw(t, "label")
		shaft := chart.AngleOf(label)
		left, right := chart.ArrowLimbs(label)
		assert.InDelta(t, 0, math.Remainder(shaft-chart.HalfAngle-left.Angle, 180), 1e-9)
		assert.InDelta(t, 0, math.Remainder(shaft+chart.HalfAngle-right.Angle, 180), 1e-9)
		assert.Greater(t, leftOf(shaft, left.Centre), 5.0)
		assert.InDelta(t, leftOf(shaft, left.Centre), -leftOf(shaft, right.Centre), 1e-9)
		for _, l := range []chart.Line{left, right} {
			assert.True(t, 0 <= l.Angle && l.Angle < 180)
		}
	})
}

// leftOf is how far a place lies to the left of the line from the middle of
// the chart in the direction of the angle.
func leftOf(angle float64, p chart.Point) float64 {
	sin, cos := math.Sincos(angle * math.Pi / 180)
	return p.Y*cos - p.X*sin
}

// The trade's rule: turn the arrow toward the limb that is more blurred. The
// blur across a line at the angle psi from the back focal line is
// √((E1 sin psi)² + (E2 cos psi)²), with the front line E1 and the back line
// E2 dioptres before the retina (geometrical optics).
func TestTurningTowardTheBlurrierLimbImproves(t *testing.T) {
	blur := func(line, back float64) float64 {
		sin, cos := math.Sincos((line - back) * math.Pi / 180)
		return math.Hypot(1.5*sin, 0.5*cos)
	}
	rapid.Check(t, func(t *rapid.T) {
		back := rapid.Float64Range(0, 180).Draw(t, "back focal line in the patient's view")
		off := rapid.Float64Range(1, 40).Draw(t, "degrees off")
		if rapid.Bool().Draw(t, "clockwise") {
			off = -off
		}
		shaft := back + off
		left, right := chart.ArrowLimbs(chart.LabelOf(shaft))
		toTheLeft := blur(left.Angle, back) > blur(right.Angle, back)
		assert.Equal(t, off < 0, toTheLeft, "an arrow that stands clockwise of the line must turn left")
	})
}

// Worked with half-angles of 30 degrees for the example of a back focal line
// at 80 degrees and an arrow straight up: limbs 20 and 40 degrees off it.
func TestArrowWorkedExample(t *testing.T) {
	left, right := chart.ArrowLimbs(180)
	assert.InDelta(t, 20, math.Abs(left.Angle-80), 1e-9)
	assert.InDelta(t, 40, math.Abs(right.Angle-80), 1e-9)
}

func TestNoArrowToNowhere(t *testing.T) {
	for _, label := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		assert.Panics(t, func() { drawn(chart.Arrow, chart.Hung{Pointer: label}) })
		assert.Panics(t, func() { chart.ArrowLimbs(label) })
		assert.Panics(t, func() { drawn(chart.Blocks, chart.Hung{Pointer: label}) })
		assert.Panics(t, func() { chart.BlockLines(label) })
	}
	assert.PanicsWithValue(t, "chart: no line is labelled NaN", func() { drawn(chart.Arrow, chart.Hung{Pointer: math.NaN()}) })
}
