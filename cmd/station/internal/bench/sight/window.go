package sight

import (
	"math"

	"conoid/sim/chart"
)

// Aspect is how many times as wide as high the card on the wall is, whatever hangs
// there.
const Aspect = 172.0 / 97

// Window is the part of the chart's plane that the wall shows, in minutes of arc.
type Window struct {
	Mid           chart.Point
	Width, Height float64
	Reach         float64 // from the middle of the chart, how far anything is drawn
}

// field is what has to be seen of a chart, in minutes of arc.
type field struct {
	mid           chart.Point
	width, height float64
}

// The fields of the charts that fill the dials' circle. The fan is its upper half:
// its middle stands so low that the level lines still show whole. A chart that
// turns with the arrow does so about its middle.
var (
	ofFan    = field{chart.Point{Y: 39.5}, 180, 103}
	ofDial   = field{width: 180, height: 180}
	ofArrow  = field{width: 150, height: 150}
	ofBlocks = field{width: 172, height: 97}
)

// WindowOf is the part that holds a chart, as wide as the card is.
func WindowOf(name chart.Name, c chart.Drawing) Window {
	f, reach := fieldOf(chart.Named(name), c)
	high := max(f.height, f.width/Aspect)
	return Window{f.mid, high * Aspect, high, reach}
}

// fieldOf is the field of a chart, and how far from its middle it is drawn.
func fieldOf(kind chart.Chart, c chart.Drawing) (f field, reach float64) {
	switch {
	case kind.Half:
		return ofFan, c.Radius
	case kind.Kind == chart.DialChart:
		return ofDial, c.Radius
	case kind.Kind == chart.ArrowChart:
		return ofArrow, c.Radius
	case kind.Kind == chart.BlockChart:
		return ofBlocks, c.Radius
	}
	const room = 1.04
	low, high := bounds(c)
	f = field{
		chart.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2},
		room * (high.X - low.X), room * (high.Y - low.Y),
	}
	return f, max(math.Abs(f.mid.X)+f.width/2, math.Abs(f.mid.Y)+f.height/2)
}

// bounds are the corners of the box around all that is drawn.
func bounds(c chart.Drawing) (low, high chart.Point) {
	low, high = chart.Point{X: math.Inf(1), Y: math.Inf(1)}, chart.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	take := func(x, y, dx, dy float64) {
		low.X, high.X = min(low.X, x-dx), max(high.X, x+dx)
		low.Y, high.Y = min(low.Y, y-dy), max(high.Y, y+dy)
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
	return low, high
}
