package nose

import (
	"fmt"
	"image/color"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// tab is a front cell to choose from, or to put a lens into.
func (p tray) tab(cell optics.Cell, r paper.Rect, shown bool) {
	l, word := p.n.Stands.Lenses[cell], CellName(p.v, cell)
	empty := l == (optics.Lens{})
	id, name := "cell "+cell.String(), p.v.Text("bench.tray.cell", "cell", word, "lens", Name(p.v, l))
	if empty && !shown {
		id, name = p.putID(cell), p.v.Text("bench.tray.of", "what", p.v.Text("bench.tray.put"), "cell", word)
	}
	below := p.tabText(l, empty && !shown, r.W-6)
	cut := p.u.Width(word, ui.Note) > r.W || p.u.Width(below, ui.SmallBold) > r.W
	look := ui.Plain
	if shown {
		look = ui.Selected
	}
	pressed := ui.Blank(p.u, id, r, name, look, cut)
	h := p.u.LineHeight(ui.Note)
	top := r.Y + r.H/2 - h
	p.u.Words(paper.Rect{X: r.X, Y: top, W: r.W, H: h}, word, ui.Small, ui.Middle)
	line := paper.Rect{X: r.X, Y: top + h, W: r.W, H: h}
	if l.Kind == optics.PinholeLens || l.Kind == optics.OccluderLens {
		p.lens(line.Centre(), 7*p.u.Text, l)
	} else {
		p.u.Words(line, below, tabStyle(empty), ui.Middle)
	}
	switch {
	case pressed && empty && !shown:
		p.out.Add(wish.TrialSet{Cell: cell})
	case pressed:
		p.out.Add(wish.Touch{Cell: cell})
	}
}

func tabStyle(empty bool) ui.Style {
	if empty {
		return ui.Note
	}
	return ui.SmallBold
}

// tabText is what stands in a cell, as short as need be.
func (p tray) tabText(l optics.Lens, put bool, width float64) string {
	switch {
	case put:
		if text := p.v.Text("bench.tray.tab"); p.u.Width(text, ui.Note) <= width {
			return text
		}
		return "+"
	case powered(l):
		return p.v.Value(fact.Power(l.Power))
	case l == optics.Lens{}:
		return p.v.Text("bench.lens.none")
	}
	return ""
}

// putID is the name of what puts a lens into an empty cell.
func (p tray) putID(cell optics.Cell) string {
	if first, ok := p.n.firstEmpty(); ok && first == cell {
		return "put in"
	}
	return "put in " + cell.String()
}

// cell is a lens in its cell between its neighbours, and what takes it out; or the
// empty cell.
func (t *rows) cell(cell optics.Cell) {
	k, l := t.u.Text, t.n.Stands.Lenses[cell]
	r := t.take(pillHigh)
	pill, out := r, paper.Rect{}
	if t.w < tight*k {
		out = t.take(tabHigh)
	} else {
		wide := max(t.u.Width(t.v.Text("bench.tray.out"), ui.Small)+10*k, tabHigh*k)
		pill, out = r.CutLeft(r.W - wide - 6*k)
		_, out = out.CutLeft(6 * k)
	}
	if l == (optics.Lens{}) {
		t.empty(cell, r)
		return
	}
	t.pill(pill, cell, l)
	t.takeOut(out, cell, l)
}

// takeOut takes a lens out of its cell.
func (p tray) takeOut(r paper.Rect, cell optics.Cell, l optics.Lens) {
	text := p.v.Text("bench.tray.out")
	name := p.v.Text("bench.tray.of", "what", text, "cell", CellName(p.v, cell))
	if ui.Blank(p.u, "out "+cell.String(), r, name, ui.Plain, p.u.Width(text, ui.Small) > r.W) {
		p.touch(cell, l)
		p.out.Add(wish.Take(cell))
	}
	p.u.Words(r, text, ui.Small, ui.Middle)
}

// touch lays the hand on a lens. Who changes the sphere at the back leaves it where
// it was.
func (p tray) touch(cell optics.Cell, l optics.Lens) {
	if cell != optics.Back || l.Kind == optics.CylinderLens {
		p.out.Add(wish.Touch{Cell: cell})
	}
}

// empty keeps the row of a cell without a lens.
func (p tray) empty(cell optics.Cell, r paper.Rect) {
	text := p.v.Text("bench.tray.put")
	if _, has := p.n.Turnable(); cell == optics.Front1 && !has {
		text = p.v.Text("bench.tray.putcyl")
	}
	style := ui.Body
	if p.u.Width(text, style) > r.W-2*pillHigh*p.u.Text {
		style = ui.Small
	}
	name := p.v.Text("bench.tray.of", "what", text, "cell", CellName(p.v, cell))
	over, pressed := ui.Part(p.u, p.putID(cell), r, name, true, p.u.Width(text, style) > r.W)
	p.ground(r, over)
	d := r.H*0.37 + 4
	shape.Circle(p.u.Scene(), paper.Point{X: r.X + 6 + d, Y: r.Centre().Y}, r.H*0.37, 1.5, p.u.Theme.Edge)
	p.u.Words(paper.Rect{X: r.X + 2*d, Y: r.Y, W: r.W - 2*d, H: r.H}, text, style, ui.Middle)
	if pressed {
		p.out.Add(wish.TrialSet{Cell: cell})
	}
}

// ground draws what a row is made of.
func (p tray) ground(r paper.Rect, over bool) {
	fill := p.u.Theme.Sheet
	if over {
		fill = p.u.Theme.Touch
	}
	p.u.Scene().Box(r, r.H/2, fill)
	p.u.Scene().Frame(r, r.H/2, 1, p.u.Theme.Edge)
}

// pill is a lens with a weaker one on its left and a stronger one on its right; the
// lens itself opens the trial set.
func (p tray) pill(r paper.Rect, cell optics.Cell, l optics.Lens) {
	word, name := CellName(p.v, cell), cell.String()
	p.ground(r, false)
	wide := (r.W - r.H - 8*p.u.Text) / 2
	less, rest := r.CutLeft(wide)
	disc, more := rest.CutLeft(rest.W - wide)
	if disc.X-less.X > 76*p.u.Text { // or the lens itself divides them
		p.divide(disc.X-4, r)
		p.divide(more.X+4, r)
	}
	for i, by := range []float64{-0.25, 0.25} {
		side, sign := [2]paper.Rect{less, more}[i], p.v.Value(fact.Power(by))
		id, label := fmt.Sprintf("%s%+.2f", name, by), p.v.Text("bench.tray.by", "power", sign, "cell", word)
		if p.key(id, side, sign, label, powered(l)) {
			p.touch(cell, l)
			p.out.Add(Change(p.n.Set, cell, l, by))
		}
	}
	label := p.v.Text("bench.tray.of", "what", p.v.Text("bench.tray.other"), "cell",
		p.v.Text("bench.tray.cell", "cell", word, "lens", Name(p.v, l)))
	_, pressed := ui.Part(p.u, "other "+name, disc, label, true, false)
	p.token(disc.Centre(), r.H/2+1, l, false)
	p.u.Ring("other "+name, disc)
	if pressed {
		p.touch(cell, l)
		p.out.Add(wish.TrialSet{Cell: cell})
	}
}

// divide draws a line between two parts of a row.
func (p tray) divide(x float64, r paper.Rect) {
	p.u.Scene().Line(x, r.Y+0.22*r.H, x, r.Bottom()-0.22*r.H, 1, p.u.Theme.Rule)
}

// key is a sign in a row that can be pressed.
func (p tray) key(id string, r paper.Rect, sign, name string, enabled bool) bool {
	style := ui.Body
	if p.u.Width(sign, style) > r.W-2 {
		style = ui.Small
	}
	over, pressed := ui.Part(p.u, id, r, name, enabled, p.u.Width(sign, style) > r.W)
	if over {
		p.u.Scene().Box(r.Inset(2), r.H/2-2, p.u.Theme.Touch)
	}
	if !enabled {
		style = ui.Quiet
	}
	p.u.Words(r, sign, style, ui.Middle)
	p.u.Ring(id, r)
	return pressed
}

// token draws a lens as it lies in the tray.
func (p tray) token(c paper.Point, r float64, l optics.Lens, raised bool) {
	sc, t := p.u.Scene(), &p.u.Theme
	shape.Disc(sc, paper.Point{X: c.X + 1.5, Y: c.Y + 2.5}, r, t.Shade)
	shape.Disc(sc, c, r, t.Sheet)
	if !powered(l) {
		p.lens(c, r, l)
		return
	}
	shape.Disc(sc, c, r-1, t.Glass)
	edge, width := t.Steel, 2.0
	if raised {
		edge, width = t.Ink, 3
	}
	shape.Circle(sc, c, r-1, width, edge)
	ink := t.Ink
	if l.Kind == optics.CylinderLens {
		ink = t.Blue
		p.marks(c, r, l.Axis)
	}
	p.engrave(c, 2*r-4, p.v.Value(fact.Power(l.Power)), ink)
}

// marks draws where the axis of a cylinder lies.
func (p tray) marks(c paper.Point, r, axis float64) {
	for _, end := range []float64{axis, axis + 180} {
		a, b := shape.At(c, r-2, end), shape.At(c, r-8, end)
		p.u.Scene().Line(a.X, a.Y, b.X, b.Y, 3, p.u.Theme.Blue)
	}
}

// Token draws a lens as it lies in its case.
func Token(u *ui.UI, v voice.Voice, c paper.Point, r float64, l optics.Lens) {
	tray{part{u: u, v: v}}.token(c, r, l, false)
}

// engrave writes a power as large as there is room for.
func (p tray) engrave(c paper.Point, wide float64, text string, col color.NRGBA) {
	size := 14 * p.u.Text
	if wide >= 60*p.u.Text { // a large lens
		size = 16 * p.u.Text
	}
	if paper.Width(text, size, paper.Bold) > wide {
		size = 13 * p.u.Text
	}
	p.centred(c, size, paper.Bold, text, col)
}
