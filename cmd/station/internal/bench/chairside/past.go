package chairside

import (
	"conoid/cmd/station/internal/bench/sight"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// glance is what an eye makes of the light behind a frame at one time: later it may
// accommodate otherwise.
type glance struct {
	sight.Insight // of everything else
	side          sitting.Side
	frame         optics.Frame
	seen          patient.Sight
	open          bool
	focus         float64
}

// Sees implements sight.Insight.
func (g glance) Sees(side sitting.Side, f optics.Frame) (patient.Sight, bool) {
	if side == g.side {
		return g.seen, g.open
	}
	return g.Insight.Sees(side, f)
}

// Accommodation implements sight.Insight.
func (g glance) Accommodation() float64 { return g.focus }

// past is what the tested eye saw before the last change of its lenses.
type past struct {
	now, before    glance
	known, changed bool
}

// look takes notice of how things stand.
func (p *past) look(in sight.Insight, side sitting.Side, f optics.Frame) {
	if p.known && f != p.now.frame {
		p.before, p.changed = p.now, true
	}
	p.known = true
	p.now = glance{Insight: in, side: side, frame: f, focus: in.Accommodation()}
	p.now.seen, p.now.open = in.Sees(side, f)
}
