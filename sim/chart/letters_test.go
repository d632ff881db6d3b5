package chart_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
)

// Five minutes of arc for a letter of logMAR 0, one for its limbs
// (BS 4274-1:2003; ISO 8596 gives the ring the same proportions). In metres: a
// 6 m letter is 8.73 mm high at 6 m.
func TestLetterSizes(t *testing.T) {
	for logmar, height := range map[float64]float64{0: 5, 1: 50, 0.3: 9.97631, -0.3: 2.50594} {
		assert.InDelta(t, height, chart.LetterHeight(logmar), 1e-5)
		for _, r := range chart.LetterSet {
			x0, y0, x1, y1 := bounds(chart.LetterRow(logmar, string(r)).Layers[0].Shapes...)
			want := []float64{-height / 2, -height / 2, height / 2, height / 2}
			assert.InDeltaSlice(t, want, []float64{x0, y0, x1, y1}, 1e-5, "%c", r)
		}
	}
	assert.InDelta(t, 8.727e-3, 6*math.Tan(chart.LetterHeight(0)/60*math.Pi/180), 1e-6)
}

func TestRowSizes(t *testing.T) {
	want := []float64{1, .9, .8, .7, .6, .5, .4, .3, .2, .1, 0, -.1, -.2, -.3}
	require.Len(t, chart.RowSizes(), len(want))
	assert.InDeltaSlice(t, want, chart.RowSizes(), 1e-12)
}

// Bailey and Lovie 1976: five letters in a row, a letter's width apart.
func TestRow(t *testing.T) {
	const height = 50
	c := chart.LetterRow(1, "HNVZE")
	shapes := c.Layers[0].Shapes
	require.Len(t, shapes, 5)
	for i, s := range shapes {
		x0, _, x1, _ := bounds(s)
		left := -225 + 2*height*float64(i)
		assert.InDeltaSlice(t, []float64{left, left + height}, []float64{x0, x1}, 1e-9)
	}
	want, _ := chart.LetterShape('N')
	assert.Equal(t, chart.Scale(want, 10, chart.Point{X: -100}), shapes[1], "in the order of the text")
	assert.InDelta(t, math.Hypot(225, 25), c.Radius, 1e-9)
	assert.Equal(t, chart.LetterRow(0.5, "K"), drawn(chart.Letter, chart.Hung{Rows: []chart.Row{{LogMAR: 0.5, Text: "K"}}}))
	assert.Equal(t, c, drawn(chart.Letters, chart.Hung{Rows: []chart.Row{{LogMAR: 1, Text: "HNVZE"}}}))
}

func TestLettersRefused(t *testing.T) {
	for _, text := range []string{"", "A", "c", "HNVZEK", "H N", "É", "\xff"} {
		assert.Panics(t, func() { chart.LetterRow(0, text) }, text)
	}
	for _, size := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e4, -1e4} {
		assert.Panics(t, func() { chart.LetterRow(size, "H") }, size)
	}
	assert.PanicsWithValue(t, "chart: 'A' is not one of the letters CDEFHKNPRUVZ", func() { chart.LetterRow(0, "A") })
	_, ok := chart.LetterShape('O')
	assert.False(t, ok)
}

// The set of BS 4274-1:2003, each on its five by five grid.
func TestLetterSet(t *testing.T) {
	assert.Equal(t, "CDEFHKNPRUVZ", chart.LetterSet)
	for i, a := range chart.LetterSet {
		s, ok := chart.LetterShape(a)
		require.True(t, ok)
		assert.Equal(t, -1.0, s.Value)
		x0, y0, x1, y1 := bounds(s)
		assert.InDeltaSlice(t, []float64{-2.5, -2.5, 2.5, 2.5}, []float64{x0, y0, x1, y1}, 1e-12, "%c", a)
		for _, b := range chart.LetterSet[:i] {
			other, _ := chart.LetterShape(b)
			assert.Greater(t, difference(s, other), 1.0, "%c and %c", a, b)
		}
	}
}

// difference is the area that only one of two letters covers.
func difference(a, b chart.Shape) float64 {
	const step = 0.05
	n := 0
	for x := -2.5 + step/2; x < 2.5; x += step {
		for y := -2.5 + step/2; y < 2.5; y += step {
			if p := (chart.Point{X: x, Y: y}); covers(a, p) != covers(b, p) {
				n++
			}
		}
	}
	return float64(n) * step * step
}

// Every straight stroke is one unit thick. Places are on the middle of the
// stroke, counted from the lower left corner of the square; across is the
// direction (degrees) square to the stroke, found for the slanting ones by
// trying all of them, for there the cut is the shortest.
func TestStrokesAreOneUnitThick(t *testing.T) {
	const slanting = -1
	strokes := []struct {
		letter rune
		x, y   float64
		across float64
	}{
		{'C', 0.5, 2.5, 0}, {'C', 2.8, 4.5, 90}, {'C', 2.8, 0.5, 90}, {'C', 4.5, 3.3, 0},
		{'D', 0.5, 2.5, 0}, {'D', 1.5, 4.5, 90}, {'D', 1.5, 0.5, 90}, {'D', 4.5, 2.5, 0},
		{'E', 0.5, 1.5, 0}, {'E', 3, 4.5, 90}, {'E', 3, 2.5, 90}, {'E', 3, 0.5, 90},
		{'F', 0.5, 1, 0}, {'F', 3, 4.5, 90}, {'F', 3, 2.5, 90},
		{'H', 0.5, 1, 0}, {'H', 4.5, 4, 0}, {'H', 2.5, 2.5, 90},
		{'K', 0.5, 1, 0}, {'K', 0.5, 4, 0}, {'K', 3.3, 4.2, slanting}, {'K', 3.3, 0.8, slanting},
		{'N', 0.5, 1, 0}, {'N', 4.5, 4, 0}, {'N', 2.5, 2.5, slanting},
		{'P', 0.5, 1, 0}, {'P', 2.5, 4.5, 90}, {'P', 2.5, 2.5, 90}, {'P', 4.5, 3.5, 0},
		{'R', 0.5, 1, 0}, {'R', 2.5, 4.5, 90}, {'R', 1.5, 2.5, 90}, {'R', 4.5, 3.5, 0}, {'R', 3.5, 1, slanting},
		{'U', 0.5, 4, 0}, {'U', 4.5, 4, 0}, {'U', 2.5, 0.5, 90},
		{'V', 1.3, 3, slanting}, {'V', 3.7, 3, slanting},
		{'Z', 2, 4.5, 90}, {'Z', 3, 0.5, 90}, {'Z', 2.5, 2.5, slanting},
	}
	seen := map[rune]bool{}
	for _, k := range strokes {
		seen[k.letter] = true
		s, _ := chart.LetterShape(k.letter)
		at := chart.Point{X: k.x - 2.5, Y: k.y - 2.5}
		if k.across != slanting {
			// Nudged off the corners that lie just at the cut.
			at = chart.Point{X: at.X + 1e-7, Y: at.Y - 1e-7}
			assert.InDelta(t, 1, thickness(s, at, k.across), 1e-3, "%c at (%v, %v)", k.letter, k.x, k.y)
			continue
		}
		least := math.Inf(1)
		for angle := 0.0; angle < 180; angle += 0.05 {
			least = min(least, thickness(s, at, angle))
		}
		assert.InDelta(t, 1, least, 1e-5, "%c at (%v, %v)", k.letter, k.x, k.y)
	}
	assert.Len(t, seen, len(chart.LetterSet))
}
