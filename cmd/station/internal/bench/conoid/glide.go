package conoid

import (
	"time"

	"conoid/sim/optics"
)

// glideTime is how long the lines take from place to place.
const glideTime = 180 * time.Millisecond

// Glide lets the lines glide to where a lens sends them.
type Glide struct {
	from, to optics.Power
	since    time.Duration
	begun    bool
}

// Toward is the residual that is drawn at a time on the way to another; moves is true
// until it is there. Still ones, and the first, are there at once.
func (g *Glide) Toward(to optics.Power, at time.Duration, still bool) (now optics.Power, moves bool) {
	if !g.begun || still {
		*g = Glide{from: to, to: to, begun: true}
		return to, false
	}
	if to != g.to {
		g.from, _ = g.along(at)
		g.to, g.since = to, at
	}
	return g.along(at)
}

// along is the way by a time: quick at first.
func (g *Glide) along(at time.Duration) (optics.Power, bool) {
	left := 1 - float64(at-g.since)/float64(glideTime)
	if left <= 0 || g.from == g.to {
		return g.to, false
	}
	return g.to.Add(g.from.Sub(g.to).Scale(left * left)), true
}
