package classes

import (
	"conoid/render/voice"
	"conoid/scoring/practical/class"
)

// strip is the drawing of a slope with its interval, in units of the drawing.
type strip struct {
	Width           float64
	Card, Heard     float64 // where 0 and 1 stand
	From, Slope, To float64
	Title           string
}

// The drawing shows slopes from slopeLeast to slopeMost; what lies beyond ends at its
// edge.
const (
	slopeLeast = -0.5
	slopeMost  = 1.5
	slopeWidth = 200.0
)

func slopeAt(slope float64) float64 {
	return slopeWidth * (min(max(slope, slopeLeast), slopeMost) - slopeLeast) / (slopeMost - slopeLeast)
}

// stripOf draws a slope that there is.
func stripOf(v voice.Voice, l class.Listening) strip {
	return strip{
		Width: slopeWidth, Card: slopeAt(0), Heard: slopeAt(1), From: slopeAt(l.Lower.V), Slope: slopeAt(l.Slope.V), To: slopeAt(l.Upper.V),
		Title: v.Text("practical.class.slope-drawn", "slope", figure(v, l.Slope), "from", figure(v, l.Lower), "to", figure(v, l.Upper)),
	}
}
