package inchair

import (
	"math"
	"slices"
	"strconv"

	"conoid/cmd/internal/asked"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/scoring"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// outcome is the end while it is being drawn.
type outcome struct {
	*page
	differing []asked.Reply
}

// draw draws what came of it.
func (p outcome) draw(r paper.Rect) {
	in := p.caution(r)
	in = paper.Rect{X: in.X + edge, Y: in.Y, W: in.W - 2*edge, H: in.H - 4}
	if p.d.Form() == desk.Cross && in.W >= 960 {
		left, right := in.CutLeft(in.W * 0.46)
		p.d.Column("end", left, func(c *ui.Column) {
			p.found(c)
			p.list(c)
		})
		_, right = right.CutLeft(16)
		p.d.Column("moment", right, func(c *ui.Column) { p.moment(c, right.H) })
		return
	}
	p.d.Column("end", paper.Rect{X: in.X - 4, Y: in.Y, W: in.W + 8, H: in.H}, func(c *ui.Column) {
		top := c.Y
		p.found(c)
		above := c.Y - top
		p.moment(c, in.H)
		c.Gap(8)
		if p.list(c) {
			p.u.ScrollTo("end", above) // to the picture, which is out of sight
		}
	})
}

// found tells what the examiner found, against the truth.
func (p outcome) found(c *ui.Column) {
	n, truth := len(p.x.Replies()), p.x.Truth().Error.MinusCyl()
	if p.failed != nil {
		c.Para(p.v.Sentence(p.v.Error(p.failed)), ui.Refusal)
	}
	c.Para(p.v.Text("inchair.end.title"), ui.Head)
	c.Gap(4)
	found := p.x.Frame().Prescription()
	switch result := p.x.Result(); {
	case result != nil:
		found = result.Rx
		p.pair(c, "inchair.end.found", found)
	case n >= asked.Most:
		c.Para(p.v.Text("inchair.end.bound", "n", n), ui.Body)
		p.pair(c, "inchair.end.sofar", found)
	default:
		c.Para(p.v.Text("inchair.end.stopped", "n", n), ui.Body)
		p.pair(c, "inchair.end.sofar", found)
	}
	p.pair(c, "inchair.end.truth", truth)
	c.Para(p.v.Text("inchair.end.left", "left", scoring.Compare(truth, found).DefocusEquivalent), ui.Body)
	p.doubts(c)
	c.Gap(8)
}

// pair is a correction with what it is, in columns where there is room.
func (p outcome) pair(c *ui.Column, id string, rx optics.Rx) {
	label, value := p.v.Text("inchair.end."+id[len("inchair.end."):]), p.v.Value(rx)
	const first = 0.52
	if p.u.Width(label, ui.Body) > c.W*first || p.u.Width(value, ui.Strong) > c.W*(1-first) {
		c.Para(label, ui.Body)
		c.Para(value, ui.Strong)
		return
	}
	left, right := c.Block(p.u.LineHeight(ui.Strong)).CutLeft(c.W * first)
	p.u.Label(left, label, ui.Body, ui.Start)
	p.u.Label(right, value, ui.Strong, ui.Start)
}

// doubts tell what did not go as the book says.
func (p outcome) doubts(c *ui.Column) {
	if p.x.Result() == nil {
		return
	}
	for _, doubt := range p.x.Result().Doubts {
		c.Para(p.v.Text("inchair.end.doubt", "doubt", doubt), ui.Quiet)
	}
}

// list has the answers that differ, to be chosen; it reports whether one was.
func (p outcome) list(c *ui.Column) (pressed bool) {
	n := len(p.x.Replies())
	if n == 0 {
		return false
	}
	if len(p.differing) == 0 {
		c.Para(p.v.Text("inchair.end.same", "n", n, "name", p.who()), ui.Strong)
		return false
	}
	c.Para(p.v.Text("inchair.end.differing", "k", len(p.differing), "n", n, "name", p.who()), ui.Strong)
	c.Gap(6)
	for i, r := range p.differing {
		title := p.v.Examiner().Asking(r.Action)
		text := p.v.Text("inchair.end.both", "mine", p.said(r.Mine), "theirs", p.said(r.Theirs), "name", p.who())
		th, nh := p.u.ParaHeight(title, c.W-24, ui.SmallBold), p.u.ParaHeight(text, c.W-24, ui.Small)
		at := c.Block(max(p.row(), th+nh+12))
		if ui.Blank(p.u, "differs "+strconv.Itoa(i+1), at, title+" "+text, chosen(i == p.chosen), false) {
			p.chosen, p.view, pressed = i, look{}, true
			p.u.Unsettle()
		}
		y := at.Y + (at.H-th-nh)/2
		ui.Lines(p.u, paper.Rect{X: at.X + 12, Y: y, W: at.W - 24, H: th}, title, ui.SmallBold, ui.Start)
		ui.Lines(p.u, paper.Rect{X: at.X + 12, Y: y + th, W: at.W - 24, H: nh}, text, ui.Small, ui.Start)
		c.Gap(8)
	}
	return pressed
}

// moment shows what the eye saw at the answer that is chosen, and what was said to it.
func (p outcome) moment(c *ui.Column, high float64) {
	if len(p.differing) == 0 {
		return
	}
	r := p.differing[min(p.chosen, len(p.differing)-1)]
	w := min(c.W, max(240, high-250*p.u.Text)*sight.Aspect)
	at := c.Block(w / sight.Aspect)
	at.W = w
	scale := p.card(&r.Question, at)
	c.Gap(12)
	p.ways(&r.Question, c)
	c.Para(p.v.Text("inchair.end.asked", "question", p.v.Examiner().Question(r.Action, r.State.Chart)), ui.Strong)
	c.Para(p.v.Text("inchair.end.mine", "answer", p.said(r.Mine)), ui.Body)
	c.Para(p.v.Text("inchair.end.theirs", "name", p.who(), "answer", p.said(r.Theirs)), ui.Body)
	c.Para(p.v.Text("inchair.end.image", "answer", p.said(r.Calm)), ui.Body)
	if kept := p.x.Kept(r); kept != nil {
		c.Para(p.v.Text("inchair.end.kept", "a", percent(kept[0]), "b", percent(kept[1])), ui.Body)
	}
	c.Para(p.lenses(r), ui.Quiet)
	c.Para(scale, ui.Note)
}

func percent(share float64) fact.Count { return fact.Count(math.Round(100 * share)) }

// lenses are what the eye looked through.
func (p outcome) lenses(r asked.Reply) string {
	f := r.Now.Frame()
	if f.Held == (optics.Lens{}) {
		return p.v.Text("inchair.end.lenses", "rx", f.Prescription())
	}
	return p.v.Text("inchair.end.lenses.held", "rx", f.Prescription(), "lens", f.Held)
}

// said is an answer in a few words.
func (p outcome) said(a patient.Answer) string {
	switch a.Kind {
	case patient.Lines:
		var labels []fact.Label
		for _, angle := range slices.Backward(a.Lines) {
			labels = append(labels, fact.Label(chart.LabelOf(angle)))
		}
		if len(labels) == 1 {
			return p.v.Text("inchair.said.line", "line", labels[0])
		}
		return p.v.Text("inchair.said.lines", "lines", labels)
	case patient.Read:
		return p.v.Text("inchair.said.read", "acuity", patient.AcuityOf(a.LogMAR))
	case patient.Blurred, patient.Unsure, patient.Changing, patient.Again:
		return p.v.Text("inchair.said." + string(a.Kind))
	}
	return p.v.Examiner().Expected(string(a.Kind))
}
