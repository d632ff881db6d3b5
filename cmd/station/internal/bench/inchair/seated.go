package inchair

import (
	"strings"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/sitting"
)

// draw draws a question: what the eye sees, what the examiner says and did, and what
// can be answered.
func (p asking) draw(r paper.Rect) {
	p.struck()
	in := p.caution(r)
	in = paper.Rect{X: in.X + edge, Y: in.Y, W: in.W - 2*edge, H: in.H - 8}
	if p.d.Form() == desk.Cross && in.W >= 960 {
		p.wide(in)
		return
	}
	p.d.Column("seated", paper.Rect{X: in.X - 4, Y: in.Y, W: in.W + 8, H: in.H}, func(c *ui.Column) { p.narrow(c) })
}

// leastBeside is how wide what stands beside the picture is at least.
const leastBeside = 330

// wide has the examiner beside the picture, and the answers below it.
func (p asking) wide(in paper.Rect) {
	keys := board{p.page}
	room := in.W - leastBeside*p.u.Text - 24
	below := 3*p.row() + 2*gap // so that the picture stays as it is from question to question
	w := min(room, (in.H-below-14)*sight.Aspect)
	for range 3 { // with large text they take more, the more the narrower they are
		below = max(below, keys.tall(p.answers(w), w))
		w = min(room, (in.H-below-14)*sight.Aspect)
	}
	at := paper.Rect{X: in.X, Y: in.Y, W: w, H: w / sight.Aspect}
	scale := p.card(p.q, at)
	keys.draw(p.answers(w), at.X, at.Bottom()+14, w)
	beside := paper.Rect{X: at.Right() + 24, Y: in.Y, W: in.Right() - at.Right() - 24, H: in.H}
	p.d.Column("beside", beside, func(c *ui.Column) {
		p.bubble(c, min(132, c.W*0.3))
		p.deeds(c, ui.Body)
		p.ways(p.q, c)
		c.Para(scale, ui.Note)
		if sides(p.q.Action.Question) {
			c.Para(p.v.Text("inchair.keys"), ui.Note)
		}
	})
}

// narrow has everything below one another.
func (p asking) narrow(c *ui.Column) {
	p.bubble(c, 56)
	p.deeds(c, ui.Small)
	w := min(c.W, 700*p.u.Text)
	at := c.Block(w / sight.Aspect)
	at.X, at.W = at.X+(c.W-w)/2, w
	scale := p.card(p.q, at)
	c.Gap(12)
	p.ways(p.q, c)
	c.Y = board{p.page}.draw(p.answers(c.W), c.X, c.Y, c.W)
	c.Gap(6)
	c.Para(scale, ui.Note)
}

// bubble has the examiner ask.
func (p asking) bubble(c *ui.Column, size float64) {
	text := p.v.Examiner().Question(p.q.Action, p.q.State.Chart)
	if p.waits() {
		text = p.v.Text("inchair.waiting")
	}
	style := ui.Figure
	wide := c.W - size - 48
	if p.u.ParaHeight(text, wide, style) > 2.5*p.u.LineHeight(style) {
		style = ui.Strong
	}
	high := max(size, p.u.ParaHeight(p.v.Examiner().Question(p.q.Action, p.q.State.Chart), wide, style)+24)
	r := c.Block(high)
	face.Draw(p.u, paper.Rect{X: r.X, Y: r.Y + (high-size)/2, W: size, H: size}, examiner(), face.Opts{Lid: p.d.Lid()})
	says := paper.Rect{X: r.X + size + 16, Y: r.Y, W: r.W - size - 16, H: high}
	p.outline(says)
	h := p.u.ParaHeight(text, wide, style)
	p.u.Para(says.X+16, says.Y+(high-h)/2, wide, text, style)
	c.Gap(8)
}

// examiner is how the examiner looks: nobody of those who are examined.
func examiner() face.Person { return face.Of(face.Who{Title: "The examiner", Name: "Thrennow"}) }

// outline is what words of the examiner stand in, with a tail at the face.
func (p asking) outline(r paper.Rect) {
	var path paper.Path
	path.Rect(r, 10)
	mid := r.Centre().Y
	path.MoveTo(r.X+1, mid+9)
	path.LineTo(r.X-11, mid)
	path.LineTo(r.X+1, mid-9)
	path.Close()
	p.u.Scene().Stroke(&path, 2, p.u.Theme.Edge) // its inner half is painted over
	p.u.Scene().Fill(&path, p.u.Theme.Sheet)
}

// deeds tell what was done since the question before, as far as a patient notices.
func (p asking) deeds(c *ui.Column, style ui.Style) {
	var said []string
	for _, a := range p.q.Deeds {
		text := p.deed(a)
		if text != "" && (len(said) == 0 || said[len(said)-1] != text) {
			said = append(said, text)
		}
	}
	if p.x.Replies() == nil {
		said = append([]string{p.v.Text("inchair.begins", "name", p.who(), "eye", p.x.Tested())}, said...)
	}
	if p.q.Compare {
		said = append(said, p.v.Text("inchair.flip"))
	}
	if len(said) == 0 {
		return
	}
	c.Para(strings.Join(said, " "), style)
	c.Gap(8)
}

// deed is one thing that was done; of the lenses in the frame a patient knows no power.
func (p asking) deed(a sitting.Action) string {
	switch a.Do {
	case sitting.Put, sitting.Take, sitting.Exchange:
		return p.v.Text("inchair.did.lenses")
	case sitting.Cover:
		return p.v.Text("inchair.did.cover", "eye", a.Eye)
	case sitting.Explain:
		return p.v.Text("inchair.did.explain")
	case sitting.Hold:
		return p.v.Text("inchair.did.hold", "lens", a.Lens)
	case sitting.Lower:
		return p.v.Text("inchair.did.lower")
	case sitting.Show:
		return p.v.Text("inchair.did.show", "chart", a.Chart)
	case sitting.Point:
		return p.v.Text("inchair.did.point")
	}
	return ""
}
