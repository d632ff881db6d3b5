package chart_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/chart"
)

// drawn is the drawing of a chart as it hangs.
func drawn(n chart.Name, h chart.Hung) chart.Drawing { return chart.Named(n).Draw(h) }

// everyChart are the drawings of all charts, and more of those that turn.
func everyChart() map[string]chart.Drawing {
	out := map[string]chart.Drawing{
		"second row": chart.LetterRow(0.6, "KNPRU"), "third": chart.LetterRow(0.5, "VZ"),
	}
	for _, c := range chart.All() {
		h := chart.Hung{Labels: chart.ByAxis, Pointer: 180, Rows: []chart.Row{{LogMAR: 0.7, Text: "CDEFH"}}}
		out[string(c.Name)] = c.Draw(h)
		if c.Pointed {
			for _, h.Pointer = range []float64{20, 37, 45} {
				out[fmt.Sprint(c.Name, " at ", h.Pointer)] = c.Draw(h)
			}
		}
	}
	return out
}

// What a chart is for decides what can be asked about it: each kind has the
// marks of its question. A name that is unknown is a bare wall.
func TestEveryChartIsWhatItSays(t *testing.T) {
	h := chart.Hung{Pointer: 30, Rows: []chart.Row{{LogMAR: 0.3, Text: "H"}}}
	for i, c := range chart.All() {
		assert.Equal(t, c.Name, chart.Named(c.Name).Name)
		assert.Equal(t, c.Name, chart.Names()[i])
		assert.NotEqual(t, chart.NoChart, c.Name)
		assert.NotEmpty(t, c.Draw(h).Layers, c.Name)
		switch marks := len(c.Marks(h)); c.Kind {
		case chart.DialChart:
			assert.Greater(t, marks, 2, c.Name)
			assert.Zero(t, 90%c.Step, "a number stands at the top and at both sides")
		case chart.ArrowChart, chart.BlockChart, chart.ColourChart:
			assert.Equal(t, 2, marks, c.Name)
		case chart.LetterChart:
			assert.Zero(t, marks, c.Name)
			assert.Equal(t, chart.Drawing{}, c.Draw(chart.Hung{}), "nothing without letters")
		default:
			assert.Fail(t, "no kind", c.Name)
		}
		turned := h
		turned.Pointer = 60
		assert.Equal(t, c.Pointed, !assert.ObjectsAreEqual(c.Draw(h), c.Draw(turned)), c.Name)
	}
	assert.Len(t, chart.Names(), len(chart.All()))
	assert.True(t, chart.Named(chart.Fan).Half)
	assert.False(t, chart.Named(chart.Clock).Half)
	for _, n := range []chart.Name{chart.NoChart, "tumbling", "Fan"} {
		bare := chart.Named(n)
		assert.Equal(t, chart.NoChart, bare.Name)
		assert.Empty(t, bare.Kind)
		assert.Nil(t, bare.Marks(h))
		assert.Equal(t, chart.Drawing{}, bare.Draw(h))
		assert.False(t, n.Is(chart.LetterChart))
	}
}

// The eye's image is 512 samples of 0.35 minutes of arc wide.
const window = 512 * 0.35

func TestEverythingLiesWithinTheRadius(t *testing.T) {
	for name, c := range everyChart() {
		for _, l := range c.Layers {
			for p := range points(l.Shapes...) {
				assert.LessOrEqual(t, math.Hypot(p.X, p.Y), c.Radius+1e-9, name)
			}
		}
		if name != "letters" && name != "letter" && name != "second row" {
			assert.Less(t, c.Radius, window/2, name)
		}
	}
}

// No path crosses itself or another, no shape covers another: then areas and
// spectra add up.
func TestShapesDoNotOverlap(t *testing.T) {
	const step = 0.02
	for name, c := range everyChart() {
		for _, l := range c.Layers {
			covered, areas := 0.0, 0.0
			_, low, _, high := bounds(l.Shapes...)
			rowHeight := (high - low) / math.Ceil((high-low)/step)
			scan(l.Shapes, step, func(_ float64, rows [][]span) {
				covered += rowHeight * union(rows)
			})
			for _, s := range l.Shapes {
				assert.Positive(t, s.Area(), name)
				areas += s.Area()
			}
			assert.InEpsilon(t, areas, covered, 1e-3, name)
		}
	}
}

// union is the length that the spans of all rows cover together.
func union(rows [][]span) float64 {
	var all chart.Shape
	for _, row := range rows {
		for _, sp := range row {
			all.Paths = append(all.Paths, []chart.Point{
				{X: sp.from, Y: -1}, {X: sp.to, Y: -1}, {X: sp.to, Y: 1}, {X: sp.from, Y: 1},
			})
		}
	}
	length := 0.0
	for _, sp := range spans(all, chart.Point{}, 0) {
		length += sp.to - sp.from
	}
	return length
}

// Luminance is between black and the brightest paper everywhere.
func TestLuminanceIsBetweenBlackAndWhite(t *testing.T) {
	for name, c := range everyChart() {
		for _, l := range c.Layers {
			for _, s := range l.Shapes {
				assert.Equal(t, 1.0, math.Abs(s.Value), name)
				assert.Contains(t, []float64{0, 1}, l.Ground+s.Value, name)
			}
		}
	}
}
