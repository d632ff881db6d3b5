package result

import (
	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/debrief"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/sitting"
)

// page is what the screen is drawn from.
type page struct {
	c      *cases.Case
	notes  chair.Notes
	tried  *sitting.Try // nil for a sitting of its own
	mark   *scoring.Mark
	habits habits
	review review
	below  float64 // how far down the rest begins
}

// review is what is worked out while the mark is read already.
type review struct {
	debrief  *debrief.Debrief  // nil until it was worked out
	lessons  []*debrief.Lesson // with their views when those were worked out too
	pictures []debrief.Picture
	failed   error
}

// wide is the width of the page: that of a small laptop, and on large screens a
// quarter more, for lines that are read should not be long.
func wide(window paper.Rect) float64 {
	if window.W >= 1800 {
		return 1440
	}
	return 1180
}

// scrolled is the room that the page's column takes beside what is in it.
const scrolled = 24

// draw draws the page, and gives the ID of the button that was pressed.
func (p *page) draw(d *desk.Desk) (pressed string) {
	u, v := d.UI, d.Voice()
	take := func(id string) {
		if id != "" {
			pressed = id
		}
	}
	d.Page("result", wide(u.Window())+scrolled, func(c *ui.Column) {
		top := c.Y
		fold := top + u.Window().H - 12
		c.Gap(6)
		take(p.head(d, c))
		c.Gap(8)
		id, left := p.path(u, v, c, fold)
		take(id)
		p.below = c.Y - top
		take(p.rest(d, c, left))
	})
	return pressed
}

// path draws the way it went and the dearest mistakes down to the fold.
func (p *page) path(u *ui.UI, v voice.Voice, c *ui.Column, fold float64) (pressed string, left [][]string) {
	r := p.review
	switch {
	case r.failed != nil:
		c.Para(v.Sentence(v.Error(r.failed)), ui.Refusal)
		return "", nil
	case r.debrief == nil:
		c.Para(v.Text("bench.result.expert.waiting"), ui.Quiet)
		return "", nil
	}
	all := cardsOf(u, v.By(r.debrief.Report.Labels), r.lessons, c.W)
	w := layOut(u, v, r.debrief.Report, r.lessons, paper.Rect{X: c.X, Y: c.Y, W: c.W, H: tallOf(u.Window())})
	w.draw(u)
	_, focus := r.debrief.Figures(v)
	u.Image(focus.Title, focus.Alt, w.panel)
	c.Y = w.panel.Bottom() + 12
	if len(r.lessons) == 0 {
		c.Para(v.Text("bench.card.none"), ui.Body)
		return "", nil
	}
	again, left := all.draw(u, v.By(r.debrief.Report.Labels), c, fold)
	if again > 0 {
		pressed = tryID(again)
	}
	return pressed, left
}

// tallOf is how tall the panel of the path is wished: on a small laptop all of it
// and three cards stand above the fold.
func tallOf(window paper.Rect) float64 {
	return min(118+max(0, window.H-625)*0.35, 280)
}

// rest is what lies below the fold.
func (p *page) rest(d *desk.Desk, c *ui.Column, left [][]string) (pressed string) {
	u, v := d.UI, d.Voice()
	c.Rule()
	pressed = press(u, c, p.more(d))
	c.Gap(10)
	table(u, v, c, p.mark)
	c.Gap(8)
	m := p.mark
	if m.DefocusEquivalent >= 0.005 {
		c.Para(v.Text("bench.result.left", "left", m.DefocusEquivalent), ui.Body)
	}
	c.Para(v.Text("bench.result.taken", "steps", m.Steps.Total, "lenses", m.Steps.Lens, "charts", m.Steps.Chart,
		"questions", m.Steps.Question, "clock", p.notes.Clock, "lived", chairside.Lived(float64(m.Seconds))), ui.Body)
	p.habits.draw(v, c)
	c.Gap(8)
	p.review.draw(u, v, c, left)
	c.Para(v.Text("caution"), ui.Caution)
	c.Gap(desk.Gap)
	return pressed
}
