package chart_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/chart"
)

// drawn is the drawing of a chart as it hangs.
func drawn(n chart.Name, h chart.Hung) chart.Drawing { return chart.Named(n).Draw(h) }

func everyChart() map[string]chart.Drawing {
	return map[string]chart.Drawing{
		"fan": drawn(chart.Fan, chart.Hung{Labels: chart.ByAxis}), "clock": drawn(chart.Clock, chart.Hung{Labels: chart.ByHour}), "sunburst": drawn(chart.Sunburst, chart.Hung{Labels: chart.ByAxis}),
		"arrow up": drawn(chart.Arrow, chart.Hung{Pointer: 180}), "arrow": drawn(chart.Arrow, chart.Hung{Pointer: 37}), "blocks": drawn(chart.Blocks, chart.Hung{Pointer: 180}),
		"blocks aslant": drawn(chart.Blocks, chart.Hung{Pointer: 45}), "blocks at 20": drawn(chart.Blocks, chart.Hung{Pointer: 20}), "duochrome": drawn(chart.Duochrome, chart.Hung{}),
		"row": chart.LetterRow(0.7, "CDEFH"), "second row": chart.LetterRow(0.6, "KNPRU"), "third": chart.LetterRow(0.5, "VZ"),
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
		if name != "row" && name != "second row" {
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
