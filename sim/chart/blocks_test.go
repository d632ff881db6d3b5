package chart_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"conoid/sim/chart"
)

func TestBlocksTurnWithTheArrow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		label := rapid.Float64Range(0.1, 180).Draw(t, "label")
		parallel, perpendicular := chart.BlockLines(label)
		assert.InDelta(t, chart.AngleOf(label), parallel.Angle, 1e-9)
		assert.InDelta(t, 90, math.Abs(parallel.Angle-perpendicular.Angle), 1e-9)
		assert.True(t, 0 <= perpendicular.Angle && perpendicular.Angle < 180)

		assert.Less(t, parallel.Centre.X, 0.0, "the parallel set hangs on the left")
		assert.Equal(t, chart.Point{X: -parallel.Centre.X}, perpendicular.Centre)
		still, _ := chart.BlockLines(180)
		assert.Equal(t, still.Centre, parallel.Centre, "the places stay")

		perpendicular.Angle, perpendicular.Centre = parallel.Angle, parallel.Centre
		assert.Equal(t, parallel, perpendicular, "the sets differ by nothing else")
	})
}

// At every turn more than a bar's width of paper parts the two sets.
func TestBlocksStayApart(t *testing.T) {
	for label := 1.0; label <= 180; label++ {
		shapes := drawn(chart.Blocks, chart.Hung{Pointer: label}).Layers[0].Shapes
		_, _, left, _ := bounds(shapes[0])
		right, _, _, _ := bounds(shapes[1])
		parallel, _ := chart.BlockLines(label)
		assert.Greater(t, right-left, parallel.Width, label)
	}
}

// A disc of blur of the diameter d loses a grating whose period is d/1.21967,
// the first zero of 2J1(x)/x, and shows finer ones reversed. For a pupil of P
// mm and E dioptres d is 3.43775·P·E minutes of arc (geometrical optics).
func TestBlocksSurviveTheFog(t *testing.T) {
	const pupil, fog = 4, 1.00
	parallel, _ := chart.BlockLines(180)
	assert.Greater(t, parallel.Period, 3.43775*pupil*fog/1.21967)
	assert.GreaterOrEqual(t, parallel.Period, 12.0)
}

func TestBlocksAreDrawnAsJudged(t *testing.T) {
	for _, label := range []float64{180, 90, 45, 33} {
		shapes := drawn(chart.Blocks, chart.Hung{Pointer: label}).Layers[0].Shapes
		parallel, perpendicular := chart.BlockLines(label)
		assert.Equal(t, []chart.Shape{parallel.Shape(), perpendicular.Shape()}, shapes)
		for i, l := range []chart.Line{parallel, perpendicular} {
			cut := spans(shapes[i], l.Centre, l.Angle+90)
			assert.Len(t, cut, l.Bars)
			for j, sp := range cut {
				assert.InDelta(t, l.Period/2, sp.to-sp.from, 1e-9, "as much dark as light")
				if j > 0 {
					assert.InDelta(t, l.Period, sp.from-cut[j-1].from, 1e-9)
				}
			}
			assert.InDelta(t, l.Length, cut[len(cut)-1].to-cut[0].from, 1e-9, "the set is square")
			assert.InDelta(t, l.Length, thickness(shapes[i], l.Centre, l.Angle), 1e-9)
		}
	}
}
