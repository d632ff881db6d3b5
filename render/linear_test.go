package render

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/chart"
	"conoid/sim/retina"
)

// White paper is 65535, ink is 0, and the edge of a bar of known place takes its
// share: all by the definition of chart.Layer.
func TestSharpLinear16(t *testing.T) {
	bar := chart.Shape{Value: -1, Paths: [][]chart.Point{{{X: -2, Y: -5}, {X: 2.25, Y: -5}, {X: 2.25, Y: 5}, {X: -2, Y: 5}}}}
	c := chart.Drawing{Layers: []chart.Layer{{Ground: 1, Shapes: []chart.Shape{bar}}}}
	im := SharpLinear16(c, 16, 16) // a pixel is a minute of arc, the middle lies in the middle of pixel 8
	assert.Equal(t, uint16(65535), im.Gray16At(0, 8).Y)
	assert.Equal(t, uint16(0), im.Gray16At(8, 8).Y)
	assert.InDelta(t, 0.5*65535, im.Gray16At(6, 8).Y, 600, "half covered")
	assert.InDelta(t, 0.25*65535, im.Gray16At(10, 8).Y, 600, "three quarters covered")
	assert.Equal(t, uint16(65535), im.Gray16At(11, 8).Y)
	assert.Equal(t, uint16(65535), im.Gray16At(8, 1).Y)
}

func TestPSFLinear16(t *testing.T) {
	im := &retina.Image{Grid: retina.Grid{N: 2, Pitch: 1}, Y: []float32{0.02, 0.01, 0, 0.005}}
	out := PSFLinear16(im)
	assert.Equal(t, uint16(65535), out.Gray16At(0, 0).Y)
	assert.InDelta(t, 65535/2, out.Gray16At(1, 0).Y, 1)
	assert.Zero(t, out.Gray16At(0, 1).Y)
	assert.InDelta(t, 65535/4, out.Gray16At(1, 1).Y, 1)
}
