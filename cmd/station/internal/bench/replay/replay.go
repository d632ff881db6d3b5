// Package replay is the screen on which a finished sitting is stepped through.
package replay

import (
	"slices"
	"time"

	"conoid/cmd/internal/report"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/sheet"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
)

// Screen is a sitting that is looked at again.
type Screen struct {
	sitting *seat.Replay
	report  *scoring.Report // nil until it was worked out
	failed  error
	menu    bool
	eyes    chairside.Eyes
	hands   chairside.Hands
	layout  chairside.Layout
}

// New steps through a sitting from its beginning; what its answers say is worked out
// behind the screen.
func New(d *desk.Desk, r *seat.Replay) *Screen {
	s := &Screen{sitting: r, eyes: chairside.NewEyes(r)}
	d.Work.Behind(func() { s.report, s.failed = r.Review() })
	return s
}

// Name implements desk.Screen.
func (s *Screen) Name() string { return "bench" }

// TakesFiles implements desk.Screen.
func (s *Screen) TakesFiles() bool { return false }

// Tick implements desk.Screen: the clock stands still.
func (s *Screen) Tick(*desk.Desk, time.Duration) desk.Next { return desk.Stay{} }

// Sitting is what is stepped through.
func (s *Screen) Sitting() *seat.Replay { return s.sitting }

// Patient implements desk.Seated.
func (s *Screen) Patient(v voice.Voice) desk.Patient {
	return chairside.PatientOf(v, s.sitting, s.sitting.Practice().Notes().Clock)
}

// Draw implements desk.Screen.
func (s *Screen) Draw(d *desk.Desk) desk.Next {
	var wished wish.List
	var next desk.Next = desk.Stay{}
	v := d.Voice()
	w := s.eyes.Look(d, s.sitting, &s.hands)
	s.weigh(v, &w.Talk)
	w.Bar.Title = s.sitting.Brief().In(v.Language).Title
	w.Bar.Facts = chairside.PracticeFacts(v, s.sitting, s.sitting.Practice().Notes().Clock)
	w.Bar.Buttons = []chairside.Button{{ID: "menu", Label: v.Text("bench.bar.menu"), Wish: wish.Show{Sheet: wish.Menu}}}
	s.layout.Draw(d, w, func(c *ui.Column) { next = s.controls(d, c) }, &wished)
	if s.menu {
		menu := sheet.View{Practice: true, NoConoid: d.Settings.Now().NoConoid, Keys: chairside.Keys()}
		switch after := (sheet.Menu{}).Draw(d, menu, &wished).(type) {
		case desk.Close:
			s.menu = false
		case desk.Open:
			s.menu, next = false, after
		}
	}
	for _, one := range wished {
		d.UI.Again()
		if after := s.grant(d, one); after != (desk.Stay{}) {
			next = after
		}
	}
	return next
}

// grant does what was wished: the patient is only looked at.
func (s *Screen) grant(d *desk.Desk, w wish.Wish) desk.Next {
	switch w := w.(type) {
	case wish.Show:
		s.menu = w.Sheet == wish.Menu
	case wish.Peep:
		s.hands.Peep(w, d.At)
	case wish.Lean:
		s.hands.Lean(w)
	case wish.Leave:
		return desk.Later{Work: func() desk.Next { return desk.Leave{} }}
	case wish.Curtain, wish.Conoid:
		chairside.Furnish(d, w)
	case wish.Touch, wish.Hold:
	default:
		d.Notice.Refuse(fact.Refuse("bench.replay.only"))
	}
	return desk.Stay{}
}

// controls draws how to go through the sitting, in the place of the questions.
func (s *Screen) controls(d *desk.Desk, c *ui.Column) (next desk.Next) {
	v := d.Voice()
	at, all := s.sitting.At()
	to := at
	where := s.where(v)
	c.Para(where, ui.Strong)
	c.Gap(4)
	to = track(d.UI, v, c, place{at, all, where})
	next = desk.Stay{}
	c.Flow(func(f *ui.Flow) {
		if f.ButtonIf(at > 0, "back", v.Text("bench.replay.back"), ui.Plain) {
			to = at - 1
		}
		if f.ButtonIf(at < all, "forward", v.Text("bench.replay.forward"), ui.Primary) {
			to = at + 1
		}
		if f.ButtonIf(at < all, "branch", v.Text("bench.replay.branch"), ui.Plain) {
			next = s.branch()
		}
		if f.Button("leave replay", v.Text("bench.replay.leave"), ui.Plain) {
			next = desk.GoOn{Name: s.sitting.Practice().Name()}
		}
	})
	s.waiting(v, c)
	if act, more := s.sitting.Next(); more {
		by := v.By(s.sitting.Brief().Room.Labels)
		c.Para(v.Text("bench.replay.next", "action", by.Examiner().Action(act)), ui.Quiet)
	}
	if to != at {
		return desk.Later{Work: func() desk.Next {
			d.Notice.Clear()
			d.Check(s.sitting.To(to))
			return desk.Stay{}
		}}
	}
	return next
}

// where names the step at which the sitting stands.
func (s *Screen) where(v voice.Voice) string {
	n, all, behind := s.sitting.Step()
	id := "bench.replay.at"
	switch {
	case n == 0:
		id = "bench.replay.begins"
	case behind:
		id = "bench.replay.behind"
	}
	return v.Text(id, "n", fact.Count(n), "all", fact.Count(all))
}

// weigh adds to what was said what each answer says of the claims, and at the end what
// all of them say.
func (s *Screen) weigh(v voice.Voice, t *talk.View) {
	if s.report == nil {
		return
	}
	told := s.sitting.Talk()
	for i := range told {
		t.Entries[i] = append(t.Entries[i], s.said(v, told[i].Event.N)...)
	}
	if at, _ := s.sitting.At(); at > len(told) { // the end point, which is not talked of
		t.Entries = append(t.Entries, s.said(v, at))
	}
}

// said is what there is to say of an event, in lines.
func (s *Screen) said(v voice.Voice, event int) (out talk.Entry) {
	for _, text := range report.Replayed(v, s.report, event) {
		out = append(out, talk.Line{Text: text, Style: ui.Body})
	}
	return out
}

// waiting tells that what the answers say is yet to come, or why it does not.
func (s *Screen) waiting(v voice.Voice, c *ui.Column) {
	switch {
	case s.failed != nil:
		c.Para(v.Sentence(v.Error(s.failed)), ui.Refusal)
	case s.report == nil:
		c.Para(v.Text("bench.replay.weighing"), ui.Quiet)
	}
}

// place is where a sitting stands: after so many of all events, and what that is called.
type place struct {
	at, all int
	name    string
}

// track is the whole sitting as a line to move along; it gives where to go.
func track(u *ui.UI, v voice.Voice, c *ui.Column, p place) (to int) {
	at, all := p.at, p.all
	row := c.Block(28)
	line := paper.Rect{X: row.X + 10, Y: row.Y + 12, W: row.W - 20, H: 4}
	u.Scene().Box(line, 2, u.Theme.Rule)
	x := line.X + line.W*float64(at)/float64(max(1, all))
	u.Scene().Box(paper.Rect{X: line.X, Y: line.Y, W: x - line.X, H: 4}, 2, u.Theme.Act)
	shape.Disc(u.Scene(), paper.Point{X: x, Y: line.Y + 2}, 9, u.Theme.Act)
	g := u.Grip("track", v.Text("bench.replay.track"), p.name, row, nil)
	to = at
	switch {
	case g.Held:
		to = int((g.At.X-line.X)/line.W*float64(all) + 0.5)
	case g.Turn > 0:
		to = at + 1
	case g.Turn < 0:
		to = at - 1
	}
	u.Ring("track", row)
	c.Gap(6)
	return min(max(to, 0), all)
}

// branch begins a sitting of its own where the replay stands.
func (s *Screen) branch() desk.Next {
	n := s.sitting.Practice().Notes()
	done, _, _ := s.sitting.Step()
	return desk.Sit{Case: s.sitting.Practice().Case(), How: seat.How{
		Seed: &n.Seed, Branch: slices.Clip(s.sitting.Given()), From: s.sitting.Practice().Name(), Step: done + 1, Sealed: n.Sealed,
	}}
}
