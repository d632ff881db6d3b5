package chairside

import (
	"time"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// sliding is a lens on its way into its cell.
type sliding struct {
	cell  optics.Cell
	since time.Duration
	moves bool
}

// slideTime is how long a lens takes.
const slideTime = 180 * time.Millisecond

// slide lets the lens that an action puts in slide into its cell.
func (s *sliding) slide(d *desk.Desk, act sitting.Action, tested sitting.Side) {
	if act.Do != sitting.Put && act.Do != sitting.Exchange || d.Settings.Now().Still || act.Eye != tested && act.Eye != "" {
		return
	}
	if cell, named := act.Cell.Cell(); named {
		*s = sliding{cell, d.At, true}
	}
}

// slid is how far the lens is from its cell, as a share of the rim's radius.
func (s *sliding) slid(d *desk.Desk) float64 {
	if !s.moves {
		return 0
	}
	left := 1 - float64(d.At-s.since)/float64(slideTime)
	if left <= 0 {
		s.moves = false
		return 0
	}
	d.UI.Again()
	return left * left * 0.6
}
