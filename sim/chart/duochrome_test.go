package chart_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
)

func TestDuochromeHalves(t *testing.T) {
	c := drawn(chart.Duochrome, chart.Hung{})
	require.Len(t, c.Layers, 2)
	red, green := c.Layers[0], c.Layers[1]
	assert.Equal(t, chart.Red, red.Light)
	assert.Equal(t, chart.Green, green.Light)
	assert.Zero(t, red.Ground+green.Ground, "around the filters it is dark")

	_, _, right, _ := bounds(red.Shapes...)
	left, _, far, _ := bounds(green.Shapes...)
	assert.InDelta(t, 0, right, 1e-12)
	assert.InDelta(t, 0, left, 1e-12)
	assert.Equal(t, 1.0, red.Shapes[0].Value)

	for i, s := range red.Shapes { // the same marks on both
		moved := chart.Scale(s, 1, chart.Point{X: far})
		for j, path := range moved.Paths {
			for k, p := range path {
				assert.InDelta(t, p.X, green.Shapes[i].Paths[j][k].X, 1e-12)
				assert.InDelta(t, p.Y, green.Shapes[i].Paths[j][k].Y, 1e-12)
			}
		}
	}
}

// Letters and rings have strokes of the width that is judged, and the letters
// read the right way round.
func TestDuochromeMarks(t *testing.T) {
	c := drawn(chart.Duochrome, chart.Hung{})
	red, green := chart.DuochromeLines()
	for i, l := range []chart.Line{red, green} {
		half := c.Layers[i].Shapes[0]
		for d := -l.Length / 2; d <= l.Length/2; d += 0.5 {
			assert.InDelta(t, l.Width, darkAcross(half, along(l, d, 0)), 0.1, "a piece of the ring")
		}
		assert.InDelta(t, l.Width, darkAcross(half, l.Centre), 1e-9)
	}
	assert.Negative(t, red.Centre.X)
	red.Centre.X = -red.Centre.X
	assert.Equal(t, red, green)

	letterD, _ := chart.LetterShape('D')
	stem := chart.Scale(letterD, red.Width, chart.Point{X: -33 - 10, Y: -28})
	for p := range points(stem) {
		inward := chart.Point{X: -43 + 0.99*(p.X+43), Y: -28 + 0.99*(p.Y+28)}
		if covers(stem, inward) {
			assert.False(t, covers(c.Layers[0].Shapes[0], inward), "D is dark at %v", inward)
		}
	}
}

// darkAcross is the upright gap in the light around a place in the dark.
func darkAcross(light chart.Shape, at chart.Point) float64 {
	from, to := 0.0, 0.0
	cut := spans(light, at, 90)
	for i := range cut[1:] {
		if cut[i].to <= 0 && cut[i+1].from >= 0 {
			from, to = cut[i].to, cut[i+1].from
		}
	}
	return to - from
}
