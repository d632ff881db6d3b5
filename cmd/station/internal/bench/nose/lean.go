package nose

import (
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/sitting"
)

// Near draws the face as the examiner leans in to it, in the wall's place, with what leads
// back to the wall.
func Near(u *ui.UI, v voice.Voice, r paper.Rect, n View, out *wish.List) {
	p := part{u, v, n, out}
	p.framed(r, closeup{part: p, mount: p.nearMount(r)})
	word := v.Text("bench.nose.wall")
	wide := max(u.Width(word, ui.Small)+20*u.Text, tabHigh*u.Text)
	corner := p.undoCorner(r)
	if corner.Centre().X > r.Centre().X {
		corner.X = corner.Right() - wide
	}
	corner.W = wide
	if ui.Blank(u, "lean back", corner, v.Text("bench.nose.back"), ui.Plain, false) {
		out.Add(wish.Lean{Back: true})
	}
	u.Words(corner, word, ui.Small, ui.Middle)
}

// nearMount makes the frame as large as the wall's place can have it with all its knobs.
func (p part) nearMount(r paper.Rect) mount {
	m, k := p.mounted(r), p.u.Text
	rim := r.H/2 - 72*k
	if rim < 44*k {
		return m
	}
	m.full, m.plate, m.rim, m.knob = true, 36*k, rim, rim+knobAt*k
	m.c = paper.Point{X: r.Right() - rim - 82*k, Y: r.Centre().Y}
	if p.n.Tested == sitting.Right {
		m.c.X = r.X + rim + 82*k
	}
	m.at = shape.Space{Origin: m.c, Unit: rim, Mirror: m.at.Mirror}
	return m
}

// littleFace draws a small portrait whose knobs can be turned; pressed beside them it
// takes the wall's place, or leaves it, where there is need of that.
func (p part) littleFace(r paper.Rect) {
	p.framed(r, closeup{part: p, mount: p.mounted(r), knobs: p.n.Leans})
	if !p.n.Leans {
		return
	}
	name := p.v.Text("bench.nose.near")
	if p.n.Near {
		name = p.v.Text("bench.nose.back")
	}
	if over, pressed := ui.Part(p.u, "lean in", r, name, true, false); pressed {
		p.out.Add(wish.Lean{Back: p.n.Near})
	} else if over || p.n.Near {
		p.u.Scene().Frame(r, 0, 2, p.u.Theme.Ink)
	}
	p.leans(r)
	p.u.Ring("lean in", r)
}

// leans draws the sign of what brings a portrait up: an arrow to the upper right, or of
// what puts it back, to the lower left.
func (p part) leans(r paper.Rect) {
	sc, t, k := p.u.Scene(), &p.u.Theme, p.u.Text
	c, by := paper.Point{X: r.Right() - 15*k, Y: r.Y + 15*k}, 5*k
	shape.Disc(sc, c, 12*k, t.Sheet)
	shape.Circle(sc, c, 12*k, 1, t.Edge)
	tip, tail := paper.Point{X: c.X + by, Y: c.Y - by}, paper.Point{X: c.X - by, Y: c.Y + by}
	if p.n.Near {
		tip, tail = tail, tip
		by = -by
	}
	shape.Stick(sc, tail, tip, 2*k, t.Ink)
	shape.Stick(sc, paper.Point{X: tip.X - 1.4*by, Y: tip.Y}, tip, 2*k, t.Ink)
	shape.Stick(sc, paper.Point{X: tip.X, Y: tip.Y + 1.4*by}, tip, 2*k, t.Ink)
}
