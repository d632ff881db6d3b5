package home

import (
	"math"
	"strings"

	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/bench/history"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// The picture of what was reached, logical pixels.
const (
	barHigh  = 120.0 // of 100 points
	faceSide = 28.0  // of the portrait below a column
	helpDisc = 7.0
)

// columns is the picture of what was reached: a column for each sitting, in order.
type columns struct {
	u     *ui.UI
	v     voice.Voice
	list  []history.Reached
	x     float64 // of the first column
	end   float64 // of the room for columns
	pitch float64 // from column to column
	bar   float64 // how wide a bar is
}

// mostColumns is how many sittings are shown.
const mostColumns = 12

// picture draws the points of the last sittings, with what was expected and how much
// help there was.
func (p *Progress) picture(u *ui.UI, v voice.Voice, c *ui.Column, list []history.Reached) {
	top := c.Y
	k := columns{u: u, v: v}
	c.Para(v.Text("bench.progress.picture"), ui.Strong)
	c.Gap(8)
	k.place(c, list)
	k.points(c.Block(barHigh))
	k.faces(c.Block(faceSide+8), p.faceOf)
	c.Gap(6)
	k.row(c, v.Text("bench.progress.foreseen"), 2*u.LineHeight(ui.Small), k.foreseen)
	c.Gap(6)
	k.row(c, v.Text("bench.progress.help"), max(2*helpDisc+4, u.LineHeight(ui.Small)), k.help)
	c.Gap(8)
	k.legend(c)
	u.Image(v.Text("bench.progress.picture"), k.alt(p), paper.Rect{X: c.X, Y: top, W: c.W, H: c.Y - top})
}

// heads is how wide the names of the rows are that stand beside them; 0: above them.
func (k *columns) heads(w float64) float64 {
	wide := 0.0
	for _, id := range []string{"bench.progress.foreseen", "bench.progress.help"} {
		wide = max(wide, k.u.Width(k.v.Text(id), ui.Note))
	}
	if wide > 0.2*w {
		return 0
	}
	return wide + 14
}

// place finds room for the columns, as many of the last sittings as fit.
func (k *columns) place(c *ui.Column, list []history.Reached) {
	u := k.u
	scale := u.Width("100", ui.Note) + 10
	k.x = c.X + max(scale, k.heads(c.W))
	k.end = c.X + c.W
	wide := k.end - k.x
	k.bar = max(faceSide, u.Width("100", ui.SmallBold)+6)
	least := max(k.bar, u.Width("88/88", ui.Small)) + 8
	n := max(1, min(len(list), mostColumns, int(wide/least)))
	k.list = list[len(list)-n:]
	k.pitch = min(wide/float64(n), 1.5*least)
}

// at is the middle of a column.
func (k *columns) at(i int) float64 { return k.x + (float64(i)+0.5)*k.pitch }

// points draws the bars, with the line of a good sitting.
func (k *columns) points(r paper.Rect) {
	u := k.u
	sc, t := u.Scene(), &u.Theme
	for i, h := range k.list {
		k.column(paper.Rect{X: k.at(i) - k.bar/2, Y: r.Y, W: k.bar, H: r.H}, h)
	}
	sc.Line(k.x, r.Bottom(), k.end, r.Bottom(), 1.5, t.Edge)
	good := r.Bottom() - r.H*history.GoodPoints/100
	shape.Dashed(sc, paper.Point{X: k.x, Y: good}, paper.Point{X: k.end, Y: good}, t.Ink)
	for i, h := range k.list {
		if h.Whole() && h.Points != nil && *h.Points > history.GoodPoints { // it stands out on the bar too
			sc.Line(k.at(i)-k.bar/2, good, k.at(i)+k.bar/2, good, 1.25, t.OnAct)
		}
	}
	lh := u.LineHeight(ui.Note)
	scale := paper.Rect{X: k.x - 60*u.Text, W: 60*u.Text - 8, H: lh}
	for _, p := range []int{0, history.GoodPoints} {
		scale.Y = r.Bottom() - r.H*float64(p)/100 - lh/2
		u.Words(scale, k.v.Value(fact.Count(p)), ui.Note, ui.Finish)
	}
}

// column is the bar of a sitting with its points; of a part of one it is pale.
func (k *columns) column(r paper.Rect, h history.Reached) {
	u := k.u
	sc, t, lh := u.Scene(), &u.Theme, u.LineHeight(ui.Small)
	if h.Points == nil {
		u.Words(paper.Rect{X: r.X, Y: r.Bottom() - lh - 2, W: r.W, H: lh}, "–", ui.Note, ui.Middle)
		return
	}
	_, bar := r.CutTop(r.H * (1 - *h.Points/100))
	ink := t.Ink
	if h.Whole() {
		sc.Box(bar, 2, t.Act)
		ink = t.OnAct
	} else {
		sc.Frame(bar, 2, 1.5, t.Edge)
	}
	at := paper.Rect{X: r.X, Y: r.Bottom() - lh - 2, W: r.W, H: lh}
	if bar.H < lh+4 { // it stands on a low bar
		at.Y, ink = bar.Y-lh, t.Ink
	}
	ui.Tinted(u, at, k.v.Value(whole(*h.Points)), ui.SmallBold, ink, ui.Middle)
}

// faces are the patients below their columns.
func (k *columns) faces(r paper.Rect, of func(history.Reached) face.Person) {
	for i, h := range k.list {
		face.Draw(k.u, paper.Rect{X: k.at(i) - faceSide/2, Y: r.Y + 6, W: faceSide, H: faceSide}, of(h), face.Opts{})
	}
}

// row is a row below the columns with its name beside it, or above it.
func (k *columns) row(c *ui.Column, name string, high float64, draw func(r paper.Rect, h history.Reached)) {
	wide := k.heads(c.W)
	if wide == 0 {
		c.Para(name, ui.Note)
	}
	r := c.Block(high)
	if wide > 0 {
		k.u.Label(paper.Rect{X: r.X, Y: r.Y, W: wide, H: r.H}, name, ui.Note, ui.Start)
	}
	for i, h := range k.list {
		draw(paper.Rect{X: k.at(i) - k.pitch/2, Y: r.Y, W: k.pitch, H: r.H}, h)
	}
}

// foreseen is how many answers came as they were expected: a rule that is full so far,
// and the numbers.
func (k *columns) foreseen(r paper.Rect, h history.Reached) {
	u, e := k.u, h.Expected
	text := "–"
	top, below := r.CutTop(r.H - u.LineHeight(ui.Small))
	if e.Asked > 0 {
		text = k.v.Text("bench.progress.ofall", "right", e.Right, "asked", e.Asked)
		track := paper.Rect{X: top.Centre().X - k.bar/2, Y: top.Bottom() - 9, W: k.bar, H: 7}
		full := track
		full.W *= float64(e.Right) / float64(e.Asked)
		u.Scene().Box(full, 0, u.Theme.Act)
		u.Scene().Frame(track, 0, 1, u.Theme.Edge)
	}
	u.Words(below, text, ui.Small, ui.Middle)
}

// help is how much help there was.
func (k *columns) help(r paper.Rect, h history.Reached) { helpSign(k.u, r.Centre(), h.Help) }

// helpSign draws a help as a disc: full when led, half with cues, and empty alone.
func helpSign(u *ui.UI, c paper.Point, h chair.Help) {
	sc, ink := u.Scene(), u.Theme.Ink
	shape.Circle(sc, c, helpDisc-0.75, 1.5, ink)
	switch h {
	case chair.Led:
		shape.Disc(sc, c, helpDisc, ink)
	case chair.Cues:
		var left paper.Path
		left.MoveTo(c.X, c.Y)
		left.Arc(c, helpDisc, math.Pi/2, 3*math.Pi/2)
		left.Close()
		sc.Fill(&left, ink)
	}
}

// legend says what the signs mean.
func (k *columns) legend(c *ui.Column) {
	u := k.u
	high := u.LineHeight(ui.Note)
	f := u.Flow(c.X, c.Y, c.W)
	for _, h := range chair.Helps() {
		name := k.v.Value(h)
		r := f.Next(2*helpDisc+8+u.Width(name, ui.Note)+10, high)
		helpSign(u, paper.Point{X: r.X + helpDisc, Y: r.Centre().Y}, h)
		r.X += 2*helpDisc + 7
		r.W -= 2*helpDisc + 7
		u.Label(r, name, ui.Note, ui.Start)
	}
	c.Y = f.Bottom()
	c.Para(k.v.Text("bench.progress.legend", "good", history.GoodPoints), ui.Note)
}

// alt tells the picture to those who do not see it.
func (k *columns) alt(p *Progress) string {
	var out []string
	for _, h := range k.list {
		out = append(out, strings.Join(told(k.v, p, h), ", "))
	}
	return strings.Join(out, "; ")
}
