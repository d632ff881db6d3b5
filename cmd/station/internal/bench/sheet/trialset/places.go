package trialset

import (
	"math"

	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// side is the frame from the side.
type side struct{ drawing }

// fromHand are the places in the order in which light comes to them.
func fromHand() []place {
	return []place{hand, place(optics.Front3), place(optics.Front2), place(optics.Front1), place(optics.Back)}
}

// name is what a place is called.
func (p side) name(at place) string {
	if at == hand {
		return p.v.Text("bench.set.hand")
	}
	return nose.CellName(p.v, optics.Cell(at))
}

// id is its name for tests.
func (at place) id() string {
	if at == hand {
		return "into hand"
	}
	return "into " + optics.Cell(at).String()
}

// stands is what is in a place, in words.
func (p side) stands(at place) string {
	l := at.lens(p.n.Stands)
	switch {
	case l.Kind == optics.CylinderLens:
		return p.v.Value(l)
	case l == optics.Lens{} && at == hand:
		return p.v.Text("bench.set.nothing")
	}
	return nose.Name(p.v, l)
}

// A row of the frame from the side, and the eye below it, logical pixels at a text size
// of 100 %.
const (
	rowHigh = 60
	eyeHigh = 40
)

// places are the frame from the side, hand above and eye below, each to choose.
func (p side) places() {
	u, c, k := p.u, p.c, p.u.Text
	about := p.v.Text("bench.set.side")
	sheet := paper.Rect{X: c.X, Y: c.Y, W: c.W}
	inner := c.W - 28*k
	sheet.H = 12*k + u.ParaHeight(p.v.Text("bench.set.where"), inner, ui.Strong) + u.ParaHeight(about, inner, ui.Note) +
		8*k + 5*(rowHigh+6)*k + eyeHigh*k
	u.Scene().Box(sheet, 10, u.Theme.Sheet)
	u.Scene().Frame(sheet, 10, 1, u.Theme.Edge)
	in := u.Column(c.X+14*k, c.Y+10*k, inner)
	in.Para(p.v.Text("bench.set.where"), ui.Strong)
	in.Para(about, ui.Note)
	in.Gap(8 * k)
	for _, at := range fromHand() {
		p.row(at, paper.Rect{X: c.X + 8*k, Y: in.Y, W: c.W - 16*k, H: rowHigh * k})
		in.Gap((rowHigh + 6) * k)
	}
	p.eye(paper.Rect{X: c.X + 8*k, Y: in.Y - 4*k, W: c.W - 16*k, H: eyeHigh * k})
	c.Y = sheet.Bottom()
}

// row is one place with its lens from the side.
func (p side) row(at place, r paper.Rect) {
	u, k := p.u, p.u.Text
	name, stands := p.name(at), p.stands(at)
	x := r.X + 56*k
	text := paper.Rect{X: x, Y: r.Y + r.H/2 - 22*k, W: r.Right() - x - 4, H: 22 * k}
	below := paper.Rect{X: x, Y: text.Bottom() + 1, W: text.W, H: 20 * k}
	cut := u.Width(stands, ui.Note) > below.W
	p.choice(at, r, name, stands, cut)
	p.profile(at, paper.Point{X: r.X + 30*k, Y: r.Centre().Y}, 0.4*r.H)
	style := ui.Body
	if at == p.place {
		style = ui.Strong
	}
	u.Words(text, name, style)
	u.Words(below, stands, ui.Note)
}

// choice is what is pressed to choose a place; the chosen one is outlined.
func (p side) choice(at place, r paper.Rect, name, stands string, cut bool) {
	t := &p.u.Theme
	over, pressed := ui.Part(p.u, at.id(), r, p.v.Text("bench.tray.cell", "cell", name, "lens", stands), true, cut)
	switch {
	case at == p.place:
		p.u.Scene().Box(r, 8, t.Touch)
		p.u.Scene().Frame(r, 8, 2, t.Ink)
	case over:
		p.u.Scene().Box(r, 8, t.Touch)
	}
	p.u.Ring(at.id(), r)
	if pressed {
		p.choose(p.n, at)
		p.u.Unsettle()
	}
}

// profile draws a lens from the side, or where one would stand.
func (p side) profile(at place, c paper.Point, half float64) {
	sc, t, l := p.u.Scene(), &p.u.Theme, at.lens(p.n.Stands)
	switch l.Kind {
	case optics.NoLens:
		shape.Dashed(sc, paper.Point{X: c.X, Y: c.Y - half}, paper.Point{X: c.X, Y: c.Y + half}, t.Edge)
		return
	case optics.OccluderLens, optics.PinholeLens:
		sc.Box(paper.Rect{X: c.X - 3, Y: c.Y - half, W: 6, H: 2 * half}, 2, t.Black)
		sc.Frame(paper.Rect{X: c.X - 3, Y: c.Y - half, W: 6, H: 2 * half}, 2, 1, t.Steel)
		return
	}
	var path paper.Path
	path.Ellipse(c, 7, half, 0)
	edge := t.Steel
	if l.Kind == optics.CylinderLens {
		edge = t.Blue
	}
	sc.Fill(&path, t.Glass)
	sc.Stroke(&path, 2, edge)
}

// eye draws the eye that all of it is for, and how far behind it is.
func (p side) eye(r paper.Rect) {
	u, k, t := p.u, p.u.Text, &p.u.Theme
	c := paper.Point{X: r.X + 30*k, Y: r.Centre().Y}
	var ball paper.Path
	ball.Ellipse(c, 15*k, 13*k, 0)
	u.Scene().Fill(&ball, shape.White())
	u.Scene().Stroke(&ball, 1.5, t.Ink)
	shape.Disc(u.Scene(), paper.Point{X: c.X - 9*k, Y: c.Y}, 5*k, p.n.Person.Iris)
	text := p.v.Text("bench.set.eye", "mm", fact.Number(math.Round(1000*p.n.Vertex)))
	u.Label(paper.Rect{X: r.X + 56*k, Y: r.Y, W: r.W - 58*k, H: r.H}, text, ui.Note, ui.Start)
}

// placesAcross are the same beside one another, where there is no room beside the case:
// light comes from the left.
func (p side) placesAcross() {
	u, c, k := p.u, p.c, p.u.Text
	wide := target * k
	for _, at := range fromHand() {
		wide = max(wide, u.Width(p.name(at), ui.SmallBold)+4)
	}
	row := max(1, min(5, int((c.W+6)/(wide+6))))
	f := u.Flow(c.X, c.Y, c.W)
	for _, at := range fromHand() {
		r := f.Next((c.W-8*float64(row-1))/float64(row)-0.01, 62*k)
		p.choice(at, r, p.name(at), p.stands(at), false)
		p.profile(at, paper.Point{X: r.Centre().X, Y: r.Y + 22*k}, 17*k)
		style := ui.Small
		if at == p.place {
			style = ui.SmallBold
		}
		u.Words(paper.Rect{X: r.X, Y: r.Bottom() - 21*k, W: r.W, H: 20 * k}, p.name(at), style, ui.Middle)
	}
	c.Y = f.Bottom() + 4
	c.Para(p.v.Text("bench.tray.cell", "cell", p.name(p.place), "lens", p.stands(p.place)), ui.Note)
	c.Gap(6)
}
