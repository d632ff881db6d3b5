package sight

import (
	"math"

	"conoid/sim/chart"
)

// Window is the square of the chart's plane that the wall shows, in minutes of
// arc.
type Window struct {
	Mid  chart.Point
	Side float64
}

// WindowOf is the square that holds a chart. A chart that turns with the arrow
// does so about its middle.
func WindowOf(name chart.Name, c chart.Drawing) Window {
	const room = 1.04
	if chart.Named(name).Pointed {
		return Window{Side: 2 * c.Radius * room}
	}
	left, right, low, high := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	take := func(x, y, dx, dy float64) {
		left, right = min(left, x-dx), max(right, x+dx)
		low, high = min(low, y-dy), max(high, y+dy)
	}
	for _, l := range c.Layers {
		for _, s := range l.Shapes {
			for _, path := range s.Paths {
				for _, p := range path {
					take(p.X, p.Y, 0, 0)
				}
			}
		}
	}
	for _, l := range c.Labels {
		take(l.At.X, l.At.Y, l.Size, l.Size/2)
	}
	return Window{chart.Point{X: (left + right) / 2, Y: (low + high) / 2}, room * max(right-left, high-low)}
}
