package exam

import (
	"conoid/cmd/internal/chair"
	"time"

	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/dialogs"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// Ready stands before a case.
type Ready struct {
	idle
	x *room
	s practical.Ready
}

// Draw implements desk.Screen.
func (s *Ready) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	x := s.x
	page(d, x.head, func(v voice.Voice, c *ui.Column) {
		c.Para(v.Text("bench.exam.ready", "candidate", s.s.Candidate(), "n", s.s.Place(), "all", len(x.plan.Cases)), ui.Head)
		c.Gap(4)
		places(d.UI, c, s.s.Place(), len(x.plan.Cases))
		c.Gap(8)
		s.times(v, c)
		c.Para(v.Text("bench.exam.rules"), ui.Body)
		c.Gap(14)
		c.Flow(func(f *ui.Flow) {
			if f.Button("begin", v.Text("bench.exam.begin"), ui.Primary) {
				next = s.begin(d)
			}
			if f.Button("settings", v.Text("bench.settings.title"), ui.Plain) {
				next = desk.Open{Overlay: dialogs.Settings{}}
			}
		})
	})
	return next
}

// times are how long there is.
func (s *Ready) times(v voice.Voice, c *ui.Column) {
	perCase, total := s.x.plan.Entry(s.s.Candidate()).Times()
	if perCase > 0 {
		c.Para(v.Text("bench.exam.percase", "clock", perCase), ui.Strong)
	}
	if total > 0 {
		c.Para(v.Text("bench.exam.total", "clock", max(0, total-s.s.Spent())), ui.Strong)
	}
	c.Gap(8)
}

// begin seats the next patient.
func (s *Ready) begin(d *desk.Desk) desk.Next {
	d.Notice.Clear()
	return desk.Later{Work: func() desk.Next {
		next, err := s.x.begin(s.s)
		return orRefuse(d, next, err)
	}}
}

// use is a sitting of a practical: its time runs, whatever the candidate does:
// in front of an open menu, and behind a hidden window.
type use struct {
	x    *room
	v    *chair.Visit
	last practical.Examining // as it was looked at last
}

// useOf is the use of the case under way.
func useOf(x *room, v *chair.Visit, s practical.Examining) *use { return &use{x, v, s} }

// now is the case under way; as it was when it was handed in, once it is.
func (u *use) now() practical.Examining {
	if s, is := u.x.attempt.State().(practical.Examining); is {
		u.last = s
	}
	return u.last
}

func (u *use) Tick(d *desk.Desk, spent time.Duration, _ bool) desk.Next {
	if _, is := u.x.attempt.State().(practical.Examining); !is {
		return desk.Stay{}
	}
	up := chair.Over(u.v.Chair) // it could not be handed in before
	if !up {
		var err error
		up, err = u.x.attempt.Tick(d.Now(), spent)
		d.Check(err)
	}
	if up && !d.Work.Busy() && !u.v.Busy() { // an answer that is on its way comes first
		return u.Stated(d)
	}
	return desk.Stay{}
}

func (u *use) Clock() time.Duration { return u.now().Elapsed() }

func (u *use) Facts(v voice.Voice, c chair.Chair) (all, few string) {
	steps, now := fact.Count(c.Steps().Total()), u.now()
	if left, limited := now.Left(); limited && u.x.plan.Show.Clock {
		all = v.Text("bench.exam.left", "eye", chairside.Eye(v, c.Brief().Tested), "clock", left, "steps", steps)
		return all, v.Text("bench.exam.few", "clock", left, "steps", steps)
	}
	few = v.Text("bench.bar.few", "clock", now.Elapsed(), "steps", steps)
	return few, few
}

func (u *use) Stated(*desk.Desk) desk.Next { return u.x.handIn() }

func (*use) Practice() *seat.Practice { return nil }
