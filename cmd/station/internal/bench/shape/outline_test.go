package shape_test

import (
	"image/color"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
)

func TestAnOutlineIsDrawnInItsSpace(t *testing.T) {
	var sc paper.Scene
	sc.Reset(100, 100, color.NRGBA{})
	s := shape.Space{Origin: paper.Point{X: 50, Y: 40}, Unit: 10}
	o := shape.Outline{{-1, -1}, {2, -1}, {2, 0, 2, 1}, {1, 2, 0, 2, -1, 1}}
	ink := color.NRGBA{A: 255}
	s.Fill(&sc, o, ink)
	s.Flipped().Fill(&sc, o, ink)
	s.Stroke(&sc, o, 4, ink)
	m := sc.Marks()
	assert.Equal(t, paper.Rect{X: 40, Y: 30, W: 30, H: 30}, m[0].Bounds)
	assert.Equal(t, paper.Rect{X: 30, Y: 30, W: 30, H: 30}, m[1].Bounds, "left and right are exchanged")
	assert.Equal(t, paper.Rect{X: 38, Y: 28, W: 34, H: 34}, m[2].Bounds)
	assert.Equal(t, paper.Point{X: 40, Y: 60}, s.Flipped().At(1, 2))
}

// An arc goes counter-clockwise from the right, as At has angles.
func TestAnArcIsTheUpperRightQuarter(t *testing.T) {
	var sc paper.Scene
	sc.Reset(100, 100, color.NRGBA{})
	shape.Arc(&sc, paper.Point{X: 50, Y: 50}, 20, 0, 90, 2, color.NRGBA{A: 255})
	shape.Arc(&sc, paper.Point{X: 50, Y: 50}, -1, 0, 90, 2, color.NRGBA{A: 255})
	m := sc.Marks()
	assert.Len(t, m, 1, "a circle without a radius is none")
	assert.InDelta(t, 50, m[0].Bounds.X, 1.01)
	assert.InDelta(t, 70, m[0].Bounds.Right(), 1.01)
	assert.InDelta(t, 30, m[0].Bounds.Y, 1.01)
	assert.InDelta(t, 50, m[0].Bounds.Bottom(), 1.01)
}
