package exam

import (
	"time"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/dialogs"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring/practical"
)

// Ready stands before a case.
type Ready struct {
	idle
	x *room
	s practical.Ready

	cut   bool          // the time of the case before was up
	shown time.Duration // when it was shown first; 0 before
}

// minded is how long a press is not taken for one of *Begin* where the time of the case
// before was up: it was meant for what stood there then. Our choice.
const minded = 1500 * time.Millisecond

// meant reports whether a press is meant for this screen.
func (s *Ready) meant(at time.Duration) bool { return !s.cut || at-s.shown >= minded }

// Tick implements desk.Screen: the time between cases is in the record, and counts
// where the practical says so. While the next patient is brought it stands still.
func (s *Ready) Tick(d *desk.Desk, spent time.Duration) desk.Next {
	if d.Work.Busy() {
		return desk.Stay{}
	}
	up, err := s.x.attempt.Tick(d.Now(), spent)
	d.Check(err)
	switch now := s.x.attempt.State().(type) {
	case practical.Ready:
		s.s = now
	case practical.Over:
		if up {
			d.Notice.Tell("bench.exam.up.all")
			return desk.Later{Work: s.x.after}
		}
	}
	return desk.Stay{}
}

// Draw implements desk.Screen.
func (s *Ready) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	if s.shown == 0 {
		s.shown = d.At
	}
	x := s.x
	page(d, x.head, func(v voice.Voice, c *ui.Column) {
		c.Para(v.Text("bench.exam.ready", "candidate", s.s.Candidate(), "n", s.s.Place(), "all", len(x.plan.Cases)), ui.Head)
		c.Gap(4)
		places(d.UI, c, s.s.Place(), len(x.plan.Cases))
		c.Gap(8)
		s.times(d, v, c)
		c.Para(v.Text("bench.exam.rules"), ui.Body)
		c.Para(v.Text(formRule(s.x.plan.TakeOpen)), ui.Body)
		if s.x.plan.CountPauses {
			c.Para(v.Text("bench.exam.pauses"), ui.Body)
		}
		c.Gap(14)
		c.Flow(func(f *ui.Flow) {
			if f.Button("begin", v.Text("bench.exam.begin"), ui.Primary) && s.meant(d.At) {
				next = s.begin(d)
			}
			if f.Button("settings", v.Text("bench.settings.title"), ui.Plain) {
				next = desk.Open{Overlay: dialogs.Settings{}}
			}
			if f.Button("assessor", v.Text("bench.assessor.entry"), ui.Plain) {
				next = desk.Open{Overlay: &entry{x: x}}
			}
		})
	})
	return next
}

// times are how long there is.
func (s *Ready) times(d *desk.Desk, v voice.Voice, c *ui.Column) {
	perCase, total := s.s.Times()
	if total > 0 {
		perCase = min(perCase, max(0, total-s.s.Spent()))
	}
	if perCase > 0 {
		c.Para(v.Text("bench.exam.percase", "clock", perCase), ui.Strong)
	}
	if total > 0 && s.x.plan.CountPauses && s.s.Place() > 1 {
		d.UI.Wake(d.At + time.Second)
	}
	if total > 0 {
		c.Para(v.Text("bench.exam.total", "clock", max(0, total-s.s.Spent())), ui.Strong)
	}
	c.Gap(8)
}

// formRule says what becomes of an open form when the time is up.
func formRule(taken bool) string {
	if taken {
		return "bench.exam.rules.form"
	}
	return "bench.exam.rules.form.not"
}

// begin seats the next patient.
func (s *Ready) begin(d *desk.Desk) desk.Next {
	d.Notice.Clear()
	return desk.Later{Work: func() desk.Next {
		next, err := s.x.begin(s.s)
		return orRefuse(d, next, err)
	}}
}
