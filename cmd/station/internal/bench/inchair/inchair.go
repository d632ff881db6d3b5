// Package inchair is the screen on which the user is the patient: the expert examines,
// and the user says what is seen, from nothing but what a simulated eye sees. At the
// end stands what was found from that, and where the simulated patient would have said
// something else. Nothing of it is kept.
package inchair

import (
	"time"

	"conoid/cases"
	"conoid/cmd/internal/asked"
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Screen is an examination in which the user is the patient.
type Screen struct {
	brief  chair.Brief
	x      *asked.Examination
	eyes   [2]sight.Eye // as it is seen now, and before
	draft  draft
	view   look
	works  bool          // the examiner goes on, and nothing can be answered
	began  time.Duration // doing so
	failed error
	chosen int // of the answers that differ, at the end
}

// draft is the answer that is being given.
type draft struct {
	lines map[float64]bool // of the fan, by their directions
	row   int              // of letters, counted from 1; 0 for none yet
	more  int              // letters of the next
}

// look is how the user looks at the picture.
type look struct {
	before bool // as it was before the lens
	close  bool // at the smaller letters alone
	larger bool // than true to scale
}

// begin seats the user in the place of the person of a case.
func begin(d *desk.Desk, c *cases.Case) desk.Next {
	x, err := asked.Sit(c.Setup(), sitting.Seeded(d.Seed()), d.Work.Pause)
	if err != nil {
		d.Notice.Refuse(err)
		return desk.Close{}
	}
	d.Notice.Clear()
	return desk.Bench{Screen: &Screen{brief: chair.BriefOf(c), x: x}}
}

// Name implements desk.Screen.
func (s *Screen) Name() string { return "in the chair" }

// TakesFiles implements desk.Screen.
func (s *Screen) TakesFiles() bool { return false }

// Tick implements desk.Screen: nothing is timed.
func (s *Screen) Tick(*desk.Desk, time.Duration) desk.Next { return desk.Stay{} }

// Examination is what goes on.
func (s *Screen) Examination() *asked.Examination { return s.x }

// Works reports whether the examiner goes on, and nothing can be answered.
func (s *Screen) Works() bool { return s.works }

// Draw implements desk.Screen.
func (s *Screen) Draw(d *desk.Desk) desk.Next {
	p := &page{Screen: s, d: d, u: d.UI, v: d.Voice().By(s.x.Room().Labels)}
	rest := p.bar()
	if q := s.x.Asks(); q != nil {
		asking{p, q}.draw(rest)
	} else {
		outcome{p, s.x.Differing()}.draw(rest)
	}
	if p.leave {
		return desk.Home{}
	}
	return desk.Stay{}
}

// page is the screen while it is being drawn.
type page struct {
	*Screen
	d     *desk.Desk
	u     *ui.UI
	v     voice.Voice
	leave bool
}

// row is how high a button is.
func (p *page) row() float64 { return max(44, p.u.RowHeight()) }

// bar says whose eye it is, and has the way out; it gives the room below.
func (p *page) bar() paper.Rect {
	all := p.u.Window()
	bar, rest := all.CutTop(p.row() + 12)
	in := paper.Rect{X: edge, Y: 6, W: bar.W - 2*edge, H: p.row()}
	id, label := "stop", p.v.Text("inchair.stop")
	if p.x.Asks() == nil {
		id, label = "home", p.v.Text("inchair.home")
	}
	w, _ := p.u.ButtonSize(label, in.W)
	press, in := in.CutRight(w)
	if p.u.ButtonIf(!p.waits(), id, press, label, ui.Plain) {
		p.out()
	}
	title := p.v.Text("inchair.title", "title", p.brief.In(p.v.Language).Title)
	if p.u.Width(title, ui.Strong) > in.W-12 {
		title = p.v.Text("inchair.title.short")
	}
	if p.u.Width(title, ui.Strong) <= in.W-12 {
		p.u.Label(paper.Rect{X: in.X, Y: in.Y, W: in.W - 12, H: in.H}, title, ui.Strong, ui.Start)
	}
	return rest
}

// edge is the room at the edge of the window.
const edge = 12

// out ends the examination, or leaves when it is over.
func (p *page) out() {
	switch {
	case p.works:
	case p.x.Asks() == nil:
		p.leave = true
	default:
		p.work(p.x.Stop)
	}
}

// patience is how long the examiner may work before it is said: what comes sooner would
// only flicker.
const patience = 400 * time.Millisecond

// waits reports whether the examiner works for so long that it has to be said.
func (p *page) waits() bool { return p.works && p.d.At-p.began > patience }

// answer says something to the examiner.
func (p *page) answer(a patient.Answer) {
	p.work(func() error { return p.x.Answer(a) })
}

// work has the examiner go on while the screen stays as it is, without its buttons.
func (p *page) work(f func() error) {
	s := p.Screen
	if s.works {
		return
	}
	s.works, s.began = true, p.d.At
	p.d.Work.Behind(func() {
		defer func() { s.works = false }()
		s.failed = f()
		s.draft, s.view.before = draft{}, false
	})
	p.u.Unsettle()
}

// who is the patient's name.
func (p *page) who() string { return talk.Who(p.v, p.brief) }

// caution stands at the foot of all that is shown, and gives the room above.
func (p *page) caution(r paper.Rect) paper.Rect {
	text := p.v.Text("inchair.caution")
	h := p.u.ParaHeight(text, r.W-2*edge, ui.Caution)
	foot, rest := r.CutBottom(h + 12)
	p.u.Scene().Box(foot, 0, p.u.Theme.Sheet)
	p.u.Scene().Box(paper.Rect{X: foot.X, Y: foot.Y, W: foot.W, H: 1}, 0, p.u.Theme.Edge)
	p.u.Para(foot.X+edge, foot.Y+6, foot.W-2*edge, text, ui.Caution)
	return rest
}
