package exam

import (
	"time"

	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// ServedHeld is a case whose time stands still at the service: nothing of it is shown, and
// the bench stays as it was left.
type ServedHeld struct {
	idle
	u     *servedUse
	bench *chairside.Screen
}

// Tick implements desk.Screen: the bench is shown again when the time runs.
func (s *ServedHeld) Tick(d *desk.Desk, _ time.Duration) desk.Next {
	if next := s.u.goesOn(d); next != (desk.Stay{}) {
		return next
	}
	if !s.u.x.s.now().Held {
		return desk.Bench{Screen: s.bench}
	}
	return desk.Stay{}
}

// Draw implements desk.Screen.
func (s *ServedHeld) Draw(d *desk.Desk) desk.Next {
	page(d, headOf(s.u.said), func(v voice.Voice, c *ui.Column) {
		c.Para(v.Text("bench.exam.who", "candidate", s.u.said.Candidate, "facts", v.Text("bench.served.held")), ui.Head)
		if now := s.u.x.s.now(); s.u.limited(now) {
			left := "bench.served.held.left"
			if now.Whole {
				left += ".whole"
			}
			c.Para(v.Text(left, "clock", *now.Left), ui.Strong)
		}
		c.Para(v.Text("bench.served.held.about"), ui.Body)
	})
	return desk.Stay{}
}
