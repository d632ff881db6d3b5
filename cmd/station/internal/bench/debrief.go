package bench

import (
	"image/color"

	"conoid/cmd/internal/report"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/figure"
	"conoid/scoring"
)

// drawDebrief draws what there is to learn: the marks, the way it went, what
// cost marks and why, and what the patient saw.
func (a *App) drawDebrief(c *ui.Column) {
	d := a.finished.debrief
	if d == nil {
		return
	}
	r := d.Report
	c.Rule()
	c.Head(a.l("debrief.marks", a.voice().Value(r.Total), a.voice().Value(r.Most)))
	for _, p := range r.Parts {
		a.drawPart(c, p)
	}
	c.Gap(8)
	c.Head(a.l("debrief.way"))
	a.drawFigures(c)
	c.Gap(8)
	c.Head(a.l("debrief.learn"))
	if len(r.Findings) == 0 {
		c.Para(a.l("debrief.nothing"), ui.Body)
	}
	for _, f := range r.Findings {
		a.drawFinding(c, f)
	}
	if len(r.Luck) > 0 {
		c.Head(a.l("debrief.luck"))
		for _, l := range r.Luck {
			c.Para(a.l("debrief.chance", l.Event, a.voice().Say(l.Said), a.voice().Say(l.Noiseless)), ui.Body)
		}
	}
	a.drawPictures(c)
	c.Gap(8)
}

// drawPart draws the points of one part as a bar.
func (a *App) drawPart(c *ui.Column, p scoring.Part) {
	u := a.ui
	label, text := a.voice().Value(p.Name), a.l("debrief.of", a.voice().Value(p.Points), a.voice().Value(p.Most))
	name := max(160*u.Text, u.Width(label, ui.Body)+12)
	wide := max(90*u.Text, u.Width(text, ui.Body)+8)
	if name+wide > c.W {
		c.Para(label+": "+text, ui.Body)
		return
	}
	r := c.Block(u.LineHeight(ui.Body) + 6)
	u.Words(paper.Rect{X: r.X, Y: r.Y, W: name, H: r.H}, label, ui.Body)
	u.Words(paper.Rect{X: r.X + name, Y: r.Y, W: wide, H: r.H}, text, ui.Body)
	bar := paper.Rect{X: r.X + name + wide + 8, Y: r.Y + r.H/2 - 5, W: min(240*u.Text, r.W-name-wide-8), H: 10}
	if bar.W < 20 {
		return
	}
	u.Scene().Box(bar, 0, u.Theme.Rule)
	bar.W *= float64(p.Points / max(p.Most, 1e-9))
	u.Scene().Box(bar, 0, u.Theme.Accent)
}

// drawFinding draws one thing that went otherwise than the method has it.
func (a *App) drawFinding(c *ui.Column, f scoring.Finding) {
	u := a.ui
	top := c.Y
	in := u.Column(c.X+14, c.Y+2, c.W-14)
	words := report.Of(a.voice(), f)
	in.Para(words.Title, ui.Strong)
	in.Para(words.What, ui.Body)
	in.Para(words.Optics, ui.Quiet)
	in.Para(a.l("debrief.better", words.Better), ui.Body)
	c.Y = in.Y + 2
	edge := u.Theme.Warn
	if f.Severity == scoring.Note {
		edge = u.Theme.Edge
	}
	u.Scene().Box(paper.Rect{X: c.X, Y: top, W: 4, H: c.Y - top}, 0, edge)
	c.Gap(12)
}

// drawFigures draws both figures, side by side where there is room.
func (a *App) drawFigures(c *ui.Column) {
	path, focus := a.finished.debrief.Figures(a.voice())
	if c.W >= 760 {
		left := c.W * 0.36
		right := c.W - left - gap
		h := max(left*path.H/path.W, right*focus.H/focus.W)
		r := c.Block(h)
		a.drawFigure(path, paper.Rect{X: r.X, Y: r.Bottom() - left*path.H/path.W, W: left, H: left * path.H / path.W})
		a.drawFigure(focus, paper.Rect{X: r.X + left + gap, Y: r.Bottom() - right*focus.H/focus.W, W: right, H: right * focus.H / focus.W})
	} else {
		w := min(c.W, 420)
		a.drawFigure(path, paper.Rect{X: c.X, Y: c.Y, W: w, H: w * path.H / path.W})
		c.Gap(w*path.H/path.W + 8)
		a.drawFigure(focus, paper.Rect{X: c.X, Y: c.Y, W: c.W, H: c.W * focus.H / focus.W})
		c.Gap(c.W*focus.H/focus.W + 4)
	}
	c.Para(a.l("debrief.figures"), ui.Note)
}

// drawFigure draws a figure in a place of its own shape.
func (a *App) drawFigure(f *figure.Figure, r paper.Rect) {
	u, t := a.ui, a.ui.Theme
	k := r.W / f.W
	tones := map[figure.Tone]color.NRGBA{
		figure.Ink: t.Ink, figure.Quiet: t.Quiet, figure.Rule: t.Rule, figure.Accent: t.Accent, figure.Second: t.Ink, figure.Warn: t.Warn,
	}
	at := func(p figure.Point) paper.Point { return paper.Point{X: r.X + k*p.X, Y: r.Y + k*p.Y} }
	for _, m := range f.Marks {
		col, p := tones[m.Tone], at(m.Points[0])
		switch m.Kind {
		case figure.Circle:
			disc(u.Scene(), p, k*m.Size, col)
		case figure.Ring:
			circle(u.Scene(), p, k*m.Size, m.Width, col)
		case figure.Text:
			size := 12 * u.Text
			x := p.X
			if !m.Start {
				x -= paper.Width(m.Text, size, paper.Regular) / 2
			}
			u.Scene().Text(x, p.Y, size, paper.Regular, m.Text, col)
		case figure.Area:
			u.Scene().Fill(outline(m.Points, at, true), col)
		case figure.Line:
			a.drawLine(m, at, col)
		}
	}
	u.Image(f.Title, f.Alt, r)
}

// drawLine draws a line through points, dashed if it is to be.
func (a *App) drawLine(m figure.Mark, at func(figure.Point) paper.Point, col color.NRGBA) {
	if !m.Dashed {
		a.ui.Scene().Stroke(outline(m.Points, at, false), m.Width, col)
		return
	}
	for i := 1; i < len(m.Points); i++ {
		if p, q := at(m.Points[i-1]), at(m.Points[i]); p != q {
			dashed(a.ui.Scene(), p, q, col)
		}
	}
}

func outline(points []figure.Point, at func(figure.Point) paper.Point, closed bool) *paper.Path {
	var path paper.Path
	for i, q := range points {
		p := at(q)
		if i == 0 {
			path.MoveTo(p.X, p.Y)
		} else {
			path.LineTo(p.X, p.Y)
		}
	}
	if closed {
		path.Close()
	}
	return &path
}

// drawPictures draws what the patient saw at the turning points.
func (a *App) drawPictures(c *ui.Column) {
	pictures := a.finished.pictures
	if len(pictures) == 0 {
		return
	}
	c.Gap(8)
	c.Head(a.l("debrief.saw"))
	const side = 180.0
	n := max(1, int((c.W+gap)/(side+gap)))
	for len(pictures) > 0 {
		row := pictures[:min(n, len(pictures))]
		pictures = pictures[len(row):]
		tall := 0.0
		for i, p := range row {
			r := paper.Rect{X: c.X + float64(i)*(side+gap), Y: c.Y, W: side, H: side}
			a.ui.Scene().Picture(r, p.Image, 1)
			a.ui.Scene().Frame(r, 0, 1, a.ui.Theme.Edge)
			text := a.l("debrief.step", p.N, p.Caption(a.voice()))
			tall = max(tall, a.ui.Para(r.X, r.Bottom()+2, side, text, ui.Note))
			a.ui.Image("picture", text, r)
		}
		c.Gap(side + tall + gap)
	}
}
