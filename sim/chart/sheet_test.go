package chart_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/chart"
)

// Between two rows stands the height of the lower one, between two letters the
// width of a letter (Bailey and Lovie 1976).
func TestLetterSheetSpacing(t *testing.T) {
	c := chart.LetterSheet([]chart.Row{{LogMAR: 1, Text: "HN"}, {LogMAR: 0.7, Text: "HNZ"}})
	shapes := c.Layers[0].Shapes
	assert.Len(t, shapes, 5)
	box := func(s chart.Shape) (left, right, low, high float64) {
		left, low = math.Inf(1), math.Inf(1)
		right, high = math.Inf(-1), math.Inf(-1)
		for _, path := range s.Paths {
			for _, p := range path {
				left, right = min(left, p.X), max(right, p.X)
				low, high = min(low, p.Y), max(high, p.Y)
			}
		}
		return left, right, low, high
	}
	big, small := chart.LetterHeight(1), chart.LetterHeight(0.7)
	_, _, low, high := box(shapes[0])
	left, _, under, top := box(shapes[2])
	_, right, _, _ := box(shapes[4])
	assert.InDelta(t, big, high-low, 1e-9)
	assert.InDelta(t, small, top-under, 1e-9)
	assert.InDelta(t, small, low-top, 1e-9, "between the rows")
	assert.InDelta(t, 5*small, right-left, 1e-9, "three letters and two gaps")
	assert.InDelta(t, high, -under, 1e-9, "the sheet hangs in the middle")
	for _, s := range shapes {
		l, r, b, u := box(s)
		assert.LessOrEqual(t, max(math.Hypot(l, b), math.Hypot(l, u), math.Hypot(r, b), math.Hypot(r, u)), c.Radius+1e-9)
	}
}
