package result

import (
	"math"

	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/report"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/sheet"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/method"
)

// head draws what it came to, and what can be done next. Who hears the page hears the one
// before the other, though buttons stand higher.
func (p *page) head(d *desk.Desk, c *ui.Column) (pressed string) {
	u, v := d.UI, d.Voice()
	buttons := p.top(d, c)
	verdict := report.Verdict(v, p.mark)
	c.Headline(verdict, headline(u, verdict, c.W))
	if p.tried != nil {
		c.Para(v.Text("debrief.tried", "n", fact.Count(p.tried.Step)), ui.SmallBold)
	}
	pressed = pressIn(u, buttons)
	d.ShowNotice(c)
	c.Gap(2)
	p.compare(u, v, c)
	return pressed
}

// headline is the style of a headline: the largest in which it has room in one
// line. A small one is for a window in which each line counts.
func headline(u *ui.UI, text string, wide float64) ui.Style {
	fits := func(s ui.Style) bool { return u.Width(text, s) <= wide }
	switch {
	case fits(ui.Title):
		return ui.Title
	case !fits(ui.Head) && fits(ui.Strong) && u.Window().H < 700:
		return ui.Strong
	}
	return ui.Head
}

// top is whose sitting it was, with room for the buttons beside it, or else below.
func (p *page) top(d *desk.Desk, c *ui.Column) []placed {
	u, v := d.UI, d.Voice()
	whose := v.Text("debrief.head", "case", p.c.Texts(v.Language).Title, "eye", v.Text("eye."+string(p.c.Setup().Tested)))
	buttons := p.buttons(d)
	wide := -8.0
	for _, b := range buttons {
		w, _ := u.ButtonSize(b.label, c.W)
		wide += w + 8
	}
	if u.Width(whose, ui.Quiet)+24+wide > c.W {
		c.Para(whose, ui.Quiet)
		c.Gap(6)
		all := place(u, c, buttons)
		c.Gap(4)
		return all
	}
	row := *c
	row.X, row.W = c.X+c.W-wide, wide
	all := place(u, &row, buttons)
	u.Label(paper.Rect{X: c.X, Y: c.Y, W: c.W - wide - 24, H: row.Y - c.Y}, whose, ui.Quiet, ui.Start)
	c.Y = row.Y + 2
	return all
}

// least is how high a button is at least, logical pixels: a finger's breadth.
const least = 44

// button is a button of the screen.
type button struct {
	id, label string
	look      ui.Look
	enabled   bool
}

// placed is a button with its place.
type placed struct {
	button
	at paper.Rect
}

// place gives buttons their places, in rows.
func place(u *ui.UI, c *ui.Column, all []button) (out []placed) {
	f := u.Flow(c.X, c.Y, c.W)
	for _, b := range all {
		w, h := u.ButtonSize(b.label, c.W)
		out = append(out, placed{b, f.Next(w, max(h, least))})
	}
	c.Y = f.Bottom()
	return out
}

// pressIn draws buttons, and gives the ID of the one that was pressed.
func pressIn(u *ui.UI, all []placed) (pressed string) {
	for _, b := range all {
		if u.ButtonIf(b.enabled, b.id, b.at, b.label, b.look) {
			pressed = b.id
		}
	}
	return pressed
}

// press draws buttons in rows, and gives the ID of the one that was pressed.
func press(u *ui.UI, c *ui.Column, all []button) string { return pressIn(u, place(u, c, all)) }

// column is one column of the table: what it is, the truth, what was stated, and
// whether that is off.
type column struct {
	name, truth, yours string
	off                bool
	wide               float64
}

// columnsOf are what an end point is made of, against the truth.
func columnsOf(v voice.Voice, m *scoring.Mark) []column {
	power := func(d float64) string { return sheet.Dioptres(v, d) }
	off := func(d fact.Power) bool { return math.Abs(float64(d)) > method.SphereStep+1e-9 }
	lost := float64(m.Acuity - m.BestAcuity)
	out := []column{
		{v.Text("bench.end.sphere"), power(m.Truth.Sphere), power(m.EndPoint.Sphere), off(m.SphereError), 0},
		{v.Text("bench.end.cyl"), power(m.Truth.Cyl), power(m.EndPoint.Cyl), off(m.CylinderError), 0},
		{v.Text("bench.end.axis"), axis(v, m.Truth), axis(v, m.EndPoint), m.Axis != nil && !m.Axis.Within, 0},
		{v.Text("bench.result.acuity"), v.Value(m.BestAcuity), v.Value(m.Acuity), lost > row+1e-9, 0},
	}
	for i := range out {
		if out[i].off {
			out[i].yours = v.Text("bench.result.off", "value", out[i].yours)
		}
	}
	return out
}

// row is a row of the chart, logMAR: an acuity that loses more is off.
const row = 0.1

// compare sets the truth over what was stated, and beside it the points.
func (p *page) compare(u *ui.UI, v voice.Voice, c *ui.Column) {
	cols := columnsOf(v, p.mark)
	truth, yours := v.Text("bench.result.truth"), v.Text("bench.result.yours")
	first := max(roomFor(u, truth, ui.SmallBold), roomFor(u, yours, ui.SmallBold)) + 8*u.Text
	wide := first
	for i, k := range cols {
		for _, text := range []string{k.truth, k.yours} {
			cols[i].wide = max(cols[i].wide, roomFor(u, text, ui.Strong)+14*u.Text)
		}
		cols[i].wide = max(cols[i].wide, roomFor(u, k.name, ui.Note)+14*u.Text)
		wide += cols[i].wide
	}
	if wide > c.W {
		for _, k := range cols {
			c.Para(v.Text("bench.result.pair", "name", k.name, "truth", k.truth, "yours", k.yours), rated(k.off))
		}
		p.points(u, v, c)
		return
	}
	p.table(u, v, c, cols, first)
	if p.pointsWidth(u, v) > c.W-wide-24 {
		p.points(u, v, c)
		return
	}
	h := u.LineHeight(ui.Figure)
	p.pointsIn(u, v, paper.Rect{X: c.X + wide + 24, Y: c.Y - h - u.LineHeight(ui.Note) - 2, W: c.W - wide - 24, H: h})
}

// table writes the columns.
func (p *page) table(u *ui.UI, v voice.Voice, c *ui.Column, cols []column, first float64) {
	line, small := u.LineHeight(ui.Body), u.LineHeight(ui.Small)
	r := paper.Rect{X: c.X, Y: c.Y + small, W: first, H: line}
	u.Words(r, v.Text("bench.result.truth"), ui.SmallBold)
	r.Y += line
	u.Words(r, v.Text("bench.result.yours"), ui.SmallBold)
	for _, k := range cols {
		r.X, r.W = r.Right(), k.wide
		u.Words(paper.Rect{X: r.X, Y: c.Y, W: r.W, H: small}, k.name, ui.Note, ui.Finish)
		u.Words(paper.Rect{X: r.X, Y: c.Y + small, W: r.W, H: line}, k.truth, ui.Body, ui.Finish)
		u.Words(paper.Rect{X: r.X, Y: c.Y + small + line, W: r.W, H: line}, k.yours, rated(k.off), ui.Finish)
		ui.Says(u, paper.Rect{X: r.X, Y: c.Y, W: r.W, H: small + 2*line}, v.Text("bench.result.pair", "name", k.name, "truth", k.truth, "yours", k.yours))
	}
	c.Y += small + 2*line
}

// rated is the style of a value that is off, or is not.
func rated(off bool) ui.Style {
	if off {
		return ui.Off
	}
	return ui.Body
}

// sums are the points, and what goes with them, in two lines.
func (p *page) sums(v voice.Voice) (points, note string) {
	d := p.review.debrief
	if d == nil {
		return "", ""
	}
	r := d.Report
	points = v.Text("bench.result.points", "points", r.Total, "most", r.Most)
	if p.notes.Help == chair.Led { // and not all of one's own
		points = v.Text("bench.result.points.led", "points", r.Total, "most", r.Most)
	}
	cost := fact.Points(0)
	for _, l := range p.review.lessons {
		cost += l.Finding.Cost
	}
	id := "bench.result.steps"
	if cost > 0 {
		id = "bench.result.cost"
	}
	steps := fact.Count(0)
	if d.Run() != nil {
		steps = fact.Count(d.Run().Steps)
	}
	return points, v.Text(id, "cost", cost, "n", fact.Count(len(p.review.lessons)), "expert", steps, "steps", fact.Count(p.mark.Steps.Total))
}

func (p *page) pointsWidth(u *ui.UI, v voice.Voice) float64 {
	points, note := p.sums(v)
	return max(roomFor(u, points, ui.Figure), roomFor(u, note, ui.Note))
}

// points writes the sums below what was written.
func (p *page) points(u *ui.UI, v voice.Voice, c *ui.Column) {
	points, note := p.sums(v)
	if points == "" {
		return
	}
	c.Gap(6)
	c.Para(points, ui.Figure)
	c.Para(note, ui.Note)
}

// pointsIn writes the sums from r on, at its right end.
func (p *page) pointsIn(u *ui.UI, v voice.Voice, r paper.Rect) {
	points, note := p.sums(v)
	if points == "" {
		return
	}
	u.Label(r, points, ui.Figure, ui.Finish)
	u.Label(paper.Rect{X: r.X, Y: r.Bottom(), W: r.W, H: u.LineHeight(ui.Note)}, note, ui.Note, ui.Finish)
}
