package nose

import (
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/sitting"
)

// undoIn puts the last change of a lens back, with words beside its sign where there is
// room for them.
func (p part) undoIn(r paper.Rect) {
	word := p.v.Text("bench.undo.short")
	fits := 44*p.u.Text+p.u.Width(word, ui.Small)+6 <= r.W
	if ui.Blank(p.u, "undo", r, p.v.Text("bench.undo"), ui.Plain, false) {
		p.out.Add(wish.Undo{})
	}
	c := paper.Point{X: r.X + 22*p.u.Text, Y: r.Centre().Y}
	if !fits {
		c.X = r.Centre().X
	}
	p.turnBack(c)
	if fits {
		p.u.Words(paper.Rect{X: r.X + 40*p.u.Text, Y: r.Y, W: r.W - 44*p.u.Text, H: r.H}, word, ui.Small, ui.Start)
	}
}

// turnBack draws an arrow that turns back.
func (p part) turnBack(c paper.Point) {
	sc, k, t := p.u.Scene(), p.u.Text, &p.u.Theme
	c.Y += 3 * k
	shape.Arc(sc, c, 9*k, -30, 180, 2.5*k, t.Ink)
	var head paper.Path
	head.MoveTo(c.X-15*k, c.Y-1)
	head.LineTo(c.X-3*k, c.Y-1)
	head.LineTo(c.X-9*k, c.Y+8*k)
	head.Close()
	sc.Fill(&head, t.Ink)
}

// undoCorner is its place in a portrait: above the nose, where nothing is turned.
func (p part) undoCorner(r paper.Rect) paper.Rect {
	side := tabHigh * p.u.Text
	place := paper.Rect{X: r.X + 6, Y: r.Y + 6, W: side, H: side}
	if p.n.Tested == sitting.Right {
		place.X = r.Right() - side - 6
	}
	return place
}
