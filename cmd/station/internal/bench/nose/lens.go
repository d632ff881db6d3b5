package nose

import (
	"image/color"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// What lenses are made of, whatever the light on the desk.
var (
	glass     = color.NRGBA{205, 232, 238, 51}
	glassEdge = color.NRGBA{0x6E, 0x68, 0x60, 255}
	gleam     = color.NRGBA{255, 255, 255, 140}
	handle    = color.NRGBA{0x3F, 0x2E, 0x1F, 255}
	halo      = color.NRGBA{0xF4, 0xEE, 0xE0, 255} // around what would else be lost on dark skin
)

// handles are the angles at which the handle of a lens crosses the scale, by cell,
// degrees on the left eye: no figure stands there.
var handles = [optics.Cells]float64{optics.Back: 315, optics.Front1: 345, optics.Front2: 255, optics.Front3: 225}

// heldAt is where the handle of a held lens is.
const heldAt = 285

// heldRing is the radius of a held lens, as a share of the rim's.
const heldRing = 0.78

// lenses draws the lenses, each smaller than the one behind it: so one sees how
// deep they lie. Their handles and powers lie over all of them.
func (p closeup) lenses() {
	r := p.rim - 6
	for cell, l := range p.n.frame().Lenses {
		if l == (optics.Lens{}) {
			continue
		}
		from := shape.At(paper.Point{}, p.rim*p.n.Slid[cell], p.outward(handles[cell]))
		c := paper.Point{X: p.c.X + from.X, Y: p.c.Y + from.Y} // it slides in by its handle
		p.lens(c, r, l)
		p.paler(c, r, p.n.Pale.Lenses[cell])
		r -= min(7, 0.1*p.rim)
	}
	for cell, l := range p.n.frame().Lenses {
		if p.full && powered(l) {
			p.handle(p.outward(handles[cell]), l)
		}
	}
}

// powered reports whether a lens has a power that is engraved on it.
func powered(l optics.Lens) bool { return l.Kind == optics.SphereLens || l.Kind == optics.CylinderLens }

// lens draws a lens: a cylinder with a mark at either end of its axis.
func (p part) lens(c paper.Point, r float64, l optics.Lens) {
	sc, t := p.u.Scene(), &p.u.Theme
	switch l.Kind {
	case optics.OccluderLens:
		shape.Disc(sc, c, r, t.Black)
		return
	case optics.PinholeLens:
		shape.Disc(sc, c, r, t.Black)
		shape.Disc(sc, c, max(3, r*0.05), t.Sheet)
		return
	}
	shape.Disc(sc, c, r, glass)
	shape.Circle(sc, c, r, 2, glassEdge)
	shape.Circle(sc, c, r-2.5, 1, gleam)
	shape.Arc(sc, c, r-9, 112, 150, 3, gleam)
	if l.Kind == optics.CylinderLens {
		for _, end := range []float64{l.Axis, l.Axis + 180} {
			shape.Stick(sc, shape.At(c, r-2, end), shape.At(c, r*0.66, end), 4, t.Blue)
		}
		shape.Dashed(sc, shape.At(c, r*0.62, l.Axis), shape.At(c, r*0.62, l.Axis+180), t.Blue)
	}
}

// handle draws the handle of a lens, and its power on a tab outside the scale.
func (p closeup) handle(angle float64, l optics.Lens) {
	sc, t := p.u.Scene(), &p.u.Theme
	a, b := shape.At(p.c, p.rim+1, angle), shape.At(p.c, p.rim+p.plate+4, angle)
	shape.Stick(sc, a, b, 9, t.MetalOut)
	shape.Stick(sc, a, b, 5, t.Metal)
	ink, edge := t.Ink, t.Steel
	if l.Kind == optics.CylinderLens {
		ink, edge = t.Blue, t.Blue
	}
	p.plaque(shape.At(p.c, p.rim+p.plate+14*p.k, angle), l.Power, ink, edge)
}

// held draws a lens on its handle before the frame.
func (p closeup) held(l optics.Lens) {
	sc, angle, r := p.u.Scene(), p.outward(heldAt), p.rim*heldRing
	shape.Disc(sc, p.c, r, glass)
	shape.Circle(sc, p.c, r, 9, halo)
	shape.Circle(sc, p.c, r, 5, handle)
	a, b := shape.At(p.c, r, angle), shape.At(p.c, max(p.rim*2.1, p.rim+p.plate+40*p.k), angle)
	shape.Stick(sc, a, b, 12, halo)
	shape.Stick(sc, a, b, 8, handle)
	if l.Kind == optics.CylinderLens {
		for _, end := range []float64{l.Axis, l.Axis + 180} {
			shape.Stick(sc, shape.At(p.c, r, end), shape.At(p.c, r*0.7, end), 4, p.u.Theme.Blue)
		}
		shape.Dashed(sc, shape.At(p.c, r*0.66, l.Axis), shape.At(p.c, r*0.66, l.Axis+180), p.u.Theme.Blue)
	}
	p.paler(p.c, r, p.n.Pale.Held)
	if p.full {
		p.plaque(shape.At(p.c, p.rim+p.plate+26*p.k, angle), l.Power, p.u.Theme.Ink, p.u.Theme.WoodDeep)
	}
}

// plaque writes a power on a small plate.
func (p part) plaque(at paper.Point, power float64, ink, edge color.NRGBA) {
	sc, k := p.u.Scene(), p.u.Text
	text, size := p.v.Value(fact.Power(power)), 14*k
	w, h := paper.Width(text, size, paper.Bold)+16*k, 26*k
	r := paper.Rect{X: at.X - w/2, Y: at.Y - h/2, W: w, H: h}
	sc.Box(r, 7, p.u.Theme.Sheet)
	sc.Frame(r, 7, 1.5, edge)
	p.centred(at, size, paper.Bold, text, ink)
}

// centred writes a text around a point.
func (p part) centred(at paper.Point, size float64, w paper.Weight, text string, col color.NRGBA) {
	p.u.Scene().Text(at.X-paper.Width(text, size, w)/2, at.Y+paper.CapHeight(size, w)/2, size, w, text, col)
}
