package home

import (
	"math"
	"slices"
	"strings"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/bench/history"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// past lists the finished sittings, the last one first, to be stepped through.
func (p *Progress) past(d *desk.Desk, v voice.Voice, c *ui.Column, list []history.Reached) (next desk.Next) {
	next = desk.Stay{}
	c.Para(v.Text("bench.progress.all.past"), ui.Strong)
	c.Gap(4)
	g := newGrid(d.UI, v, c.W, list)
	g.head(c)
	for _, h := range slices.Backward(list) {
		kept := p.kept(d, h.Log)
		s := sat{h, p.faceOf(h), p.titleOf(v, h), p.apart(v, h, kept), told(v, p, h)}
		if g.row(c, s, kept) {
			next = desk.Replay{Name: h.Log}
		}
	}
	return next
}

// sat is what a row is about.
type sat struct {
	history.Reached
	face  face.Person
	title string
	apart string
	told  []string
}

// grid is how the rows of past sittings line up.
type grid struct {
	u      *ui.UI
	v      voice.Voice
	widths []float64 // of the date, and of the numbers
	inline bool      // there is no room for columns
}

// The room in a row, logical pixels.
const (
	cellGap = 18.0
	arrow   = 18.0 // for the sign that a row leads on
)

// newGrid finds out how wide the columns are.
func newGrid(u *ui.UI, v voice.Voice, w float64, list []history.Reached) *grid {
	g := &grid{u: u, v: v}
	rows := [][]string{append([]string{v.Text("bench.progress.date")}, heads(v)...)}
	for _, h := range list {
		rows = append(rows, append([]string{v.Value(h.When)}, numbers(v, h)...))
	}
	g.widths = widest(u, rows)
	g.inline = g.name(w) < 190*u.Text
	return g
}

// name is how much room a row has for who it was.
func (g *grid) name(w float64) float64 {
	for _, c := range g.widths {
		w -= c + cellGap
	}
	return w - faceSide - 12 - arrow
}

// head names the columns.
func (g *grid) head(c *ui.Column) {
	if g.inline {
		return
	}
	r := c.Block(g.u.LineHeight(ui.Note) + 4)
	label := func(r paper.Rect, text string, a ui.Align) { g.u.Label(r, text, ui.Note, a) }
	date, who := r, r
	date.W = g.widths[0]
	label(date, g.v.Text("bench.progress.date"), ui.Start)
	who.X += date.W + cellGap + faceSide + 12
	who.W = g.name(r.W)
	label(who, g.v.Text("bench.progress.who"), ui.Start)
	g.cells(r, heads(g.v), label)
}

// cells writes the numbers of a row at its right: flush right, but for the help.
func (g *grid) cells(r paper.Rect, cells []string, write func(r paper.Rect, text string, a ui.Align)) {
	right := r.Right() - arrow
	for i, text := range slices.Backward(cells) {
		w := g.widths[i+1]
		align := ui.Finish
		if i == len(cells)-1 {
			align = ui.Start
		}
		write(paper.Rect{X: right - w, Y: r.Y, W: w, H: r.H}, text, align)
		right -= w + cellGap
	}
}

// row is a sitting, to be pressed if its log is kept.
func (g *grid) row(c *ui.Column, s sat, kept bool) (pressed bool) {
	u, l := g.u, g.lines(c.W, s)
	r := c.Block(math.Ceil(max(44*max(1, u.Text), l.titleHigh+l.aboutHigh+10)))
	name, over := strings.Join(filled(append(slices.Clone(s.told), s.apart)), " · "), false
	if kept {
		over, pressed = ui.Part(u, "replay "+s.Log, r, name, true, false)
	} else {
		ui.Says(u, r, name)
	}
	if ui.Seen(u, r) {
		g.ground(r, over, kept)
		g.write(r, s, l)
	}
	u.Ring("replay "+s.Log, r.Inset(3))
	return pressed
}

// lines are the words in the middle of a row: who it was, and what else there is room for.
type lines struct {
	wide                 float64
	about                string
	titleHigh, aboutHigh float64
}

func (g *grid) lines(w float64, s sat) (l lines) {
	l.wide, l.about = g.name(w), s.apart
	if g.inline {
		l.wide = w - faceSide - 12 - arrow
		l.about = strings.Join(filled(append(append([]string{s.told[0]}, brief(g.v, s.Reached)...), s.apart)), " · ")
	}
	l.titleHigh = g.u.ParaHeight(s.title, l.wide, ui.Body)
	if l.about != "" {
		l.aboutHigh = g.u.ParaHeight(l.about, l.wide, ui.Note)
	}
	return l
}

// filled are the texts that say something.
func filled(texts []string) []string {
	return slices.DeleteFunc(texts, func(t string) bool { return t == "" })
}

// ground is what a row is written on, with a sign that it leads on.
func (g *grid) ground(r paper.Rect, over, leads bool) {
	sc, t := g.u.Scene(), &g.u.Theme
	if over {
		sc.Box(r, 4, t.Touch)
	}
	sc.Box(paper.Rect{X: r.X, Y: r.Y, W: r.W, H: 1}, 0, t.Rule)
	if leads {
		x, y := r.Right()-9, r.Centre().Y
		shape.Stick(sc, paper.Point{X: x, Y: y - 5}, paper.Point{X: x + 5, Y: y}, 2, t.Act)
		shape.Stick(sc, paper.Point{X: x + 5, Y: y}, paper.Point{X: x, Y: y + 5}, 2, t.Act)
	}
}

// write writes a row.
func (g *grid) write(r paper.Rect, s sat, l lines) {
	u, at := g.u, r
	if !g.inline {
		at.W = g.widths[0]
		u.Words(at, s.told[0], ui.Body)
		at.X += at.W + cellGap
		g.cells(r, numbers(g.v, s.Reached), func(r paper.Rect, text string, a ui.Align) { u.Words(r, text, ui.Body, a) })
	}
	face.Draw(u, paper.Rect{X: at.X, Y: r.Centre().Y - faceSide/2, W: faceSide, H: faceSide}, s.face, face.Opts{})
	words := paper.Rect{X: at.X + faceSide + 12, Y: r.Y + (r.H-l.titleHigh-l.aboutHigh)/2, W: l.wide, H: l.titleHigh}
	ui.Lines(u, words, s.title, ui.Body, ui.Start)
	if l.about != "" {
		words.Y, words.H = words.Y+l.titleHigh, l.aboutHigh
		ui.Lines(u, words, l.about, ui.Note, ui.Start)
	}
}
