// Package home is the screen on which a patient is chosen, and a conoid played with.
package home

import (
	"time"

	"conoid/cases"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// Screen is the choice of a patient.
type Screen struct {
	library []*cases.Case
	left    []seat.Left // as the store had it when the screen came
	lesson  *lesson     // the assignment to go on with; nil: none
	kept    string      // one of the assignments that are kept, where none is to go on with; "" for none
	someone *someone
	play    play
}

// New is the choice as it stands now.
func New(d *desk.Desk) *Screen {
	s := &Screen{library: desk.Library(), left: d.Seats.Unfinished(), lesson: lessonOf(d), someone: &someone{}, play: newPlay()}
	if ids := d.Seats.Handouts(); s.lesson == nil && len(ids) > 0 {
		s.kept = ids[len(ids)-1]
	}
	return s
}

// Name implements desk.Screen.
func (s *Screen) Name() string { return "home" }

// TakesFiles implements desk.Screen.
func (s *Screen) TakesFiles() bool { return true }

// Tick implements desk.Screen.
func (s *Screen) Tick(*desk.Desk, time.Duration) desk.Next { return desk.Stay{} }

// page is a screen while it is being drawn, and what comes next.
type page struct {
	*Screen
	d     *desk.Desk
	v     voice.Voice
	large bool // there is room for what is said of everybody
	tight bool // there is little height
	next  desk.Next
}

// Draw implements desk.Screen.
func (s *Screen) Draw(d *desk.Desk) desk.Next {
	p := &page{Screen: s, d: d, v: d.Voice(), next: desk.Stay{}}
	all := d.UI.Window()
	w, h := all.W/d.UI.Text, all.H/d.UI.Text
	p.large = w >= 1600 && h >= 800
	if w >= 1180 && h >= 560 {
		p.tight = h < 700
		p.wide(all)
	} else {
		p.narrow(all)
	}
	return p.next
}

// wide has the people on the left and the conoid on the right.
func (p *page) wide(all paper.Rect) {
	edge := 24.0
	if p.large {
		edge = 48
	}
	in := paper.Rect{X: edge, W: all.W - 2*edge, H: all.H}
	left, right := in.CutLeft(min(in.W*0.607, 1120*p.d.UI.Text))
	_, right = right.CutLeft(edge)
	_, right = right.CutTop(min(edge, 16+(edge-24)))
	_, right = right.CutBottom(10)
	// What scrolls has room for its bar at the right.
	p.d.Column("home", paper.Rect{X: left.X - 4, Y: 0, W: left.W + 24, H: all.H}, func(c *ui.Column) {
		p.people(c)
	})
	p.play.draw(p.d, right, p.play.within(p.d, right))
}

// narrow has everything below one another.
func (p *page) narrow(all paper.Rect) {
	edge := 12.0
	if all.W >= 700 {
		edge = 24
	}
	width := min(all.W-2*edge+16, 1000*max(1, p.d.UI.Text*0.75))
	p.d.Column("home", paper.Rect{X: (all.W - width + 8) / 2, W: width, H: all.H}, func(c *ui.Column) {
		p.people(c)
		c.Rule()
		m := p.play.free(p.d, c.W)
		p.play.draw(p.d, c.Block(m.height()), m)
		c.Gap(desk.Gap)
	})
}

// people is everything but the conoid.
func (p *page) people(c *ui.Column) {
	p.heading(c)
	if p.d.Unkept {
		unkept := p.v.Text("bench.home.unkept", "progress", p.v.Text("bench.progress.title"), "export", p.v.Text("bench.progress.export"))
		desk.ShowNotice(p.d.UI, c, desk.Said{Text: unkept, Style: ui.Refusal})
	}
	p.d.ShowNotice(c)
	p.first(c)
	p.benches(c)
	p.strays(c)
	p.foot(c)
	c.Para(p.v.Text("caution"), ui.Caution)
}

// heading says what this is, and that somebody is coming in.
func (p *page) heading(c *ui.Column) {
	u, text := p.d.UI, p.v.Text("bench.home.about")
	style := ui.Body
	if p.d.Work.Busy() {
		text, style = p.v.Text("bench.home.waiting"), ui.Strong
	}
	title := p.v.Text("bench.home.title")
	taken := u.Width(title, ui.Title) + 20
	switch {
	case p.large:
		c.Gap(26)
	case !p.tight:
		c.Gap(12)
	default:
		c.Gap(6)
	}
	beside := u.ParaHeight(text, c.W-taken, style)
	if c.W-taken < 320*u.Text {
		c.Para(title, ui.Title)
		c.Para(text, style)
		c.Gap(8)
		return
	}
	r := c.Block(max(u.LineHeight(ui.Title), beside))
	u.Label(paper.Rect{X: r.X, Y: r.Y, W: taken, H: r.H}, title, ui.Title, ui.Start)
	u.Para(r.X+taken, r.Y+(r.H-beside)/2+2, r.W-taken, text, style)
	c.Gap(10)
}
