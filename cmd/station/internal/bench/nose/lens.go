package nose

import (
	"fmt"
	"math"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// drawLens draws a lens in its cell: a sphere with its handle to the side, a
// cylinder with a mark at either end of its axis and its handle along it.
func drawLens(u *ui.UI, c paper.Point, r float64, l optics.Lens) {
	sc := u.Scene()
	switch l.Kind {
	case optics.OccluderLens:
		shape.Disc(sc, c, r, u.Theme.Black)
		return
	case optics.PinholeLens:
		shape.Disc(sc, c, r, u.Theme.Black)
		shape.Disc(sc, c, 4, u.Theme.Sheet)
		return
	}
	shape.Disc(sc, c, r, u.Theme.Glass)
	shape.Circle(sc, c, r, 1, u.Theme.Edge)
	if l.Kind == optics.CylinderLens {
		colour := u.Theme.Act
		for _, end := range []float64{l.Axis, l.Axis + 180} {
			p, q := shape.At(c, r*0.72, end), shape.At(c, r, end)
			sc.Line(p.X, p.Y, q.X, q.Y, 3.5, colour)
		}
		shape.Dashed(sc, shape.At(c, r*0.72, l.Axis), shape.At(c, r*0.72, l.Axis+180), colour)
	}
}

// engraved is where the power of a lens stands, degrees: of a cylinder beside
// its axis.
func engraved(l optics.Lens, depth int) float64 {
	if l.Kind == optics.CylinderLens {
		return l.Axis + 16
	}
	return 231 + 30*float64(depth)
}

// engrave writes a power on the glass, upright, near the edge of the lens.
func engrave(u *ui.UI, v voice.Voice, c paper.Point, r, angle float64, l optics.Lens) {
	if l.Kind != optics.SphereLens && l.Kind != optics.CylinderLens {
		return
	}
	col := u.Theme.Ink
	if l.Kind == optics.CylinderLens {
		col = u.Theme.Act
	}
	text, size := v.Value(fact.Power(l.Power)), 13*u.Text
	w := paper.Width(text, size, paper.Bold)
	p := shape.At(c, r*0.62, angle)
	u.Scene().Box(paper.Rect{X: p.X - w/2 - 4, Y: p.Y - size*0.72, W: w + 8, H: size * 1.35}, 4, u.Theme.Sheet)
	u.Scene().Text(p.X-w/2, p.Y+size*0.36, size, paper.Bold, text, col)
}

// drawHeld draws a lens on its handle before the frame.
func drawHeld(u *ui.UI, v voice.Voice, c paper.Point, rim float64, l optics.Lens) {
	sc := u.Scene()
	from, to := shape.At(c, rim*0.75, 300), shape.At(c, rim*1.25, 300)
	sc.Line(from.X, from.Y, to.X, to.Y, 8, u.Theme.Ink)
	shape.Circle(sc, c, rim*0.75, 5, u.Theme.Ink)
	shape.Disc(sc, c, rim*0.73, u.Theme.Glass)
	engrave(u, v, c, rim*0.75, 284, l)
}

// Turnable is the cell of the cylinder that the hand turns: the one that was
// touched last, or the foremost.
func (n View) Turnable() (cell optics.Cell, ok bool) {
	f := n.frame()
	if f.Lenses[n.Hand].Kind == optics.CylinderLens {
		return n.Hand, true
	}
	for cell := optics.Cells - 1; cell >= 0; cell-- {
		if f.Lenses[cell].Kind == optics.CylinderLens {
			return optics.Cell(cell), true
		}
	}
	return 0, false
}

// turnCylinder lets the cylinder be turned by hand.
func turnCylinder(u *ui.UI, v voice.Voice, c paper.Point, radius float64, n View, out *wish.List) {
	cell, ok := n.Turnable()
	if !ok {
		return
	}
	axis := int(n.frame().Lenses[cell].Axis)
	box := paper.Rect{X: c.X - radius, Y: c.Y - radius, W: 2 * radius, H: 2 * radius}
	g := u.Grip("cylinder", v.Text("bench.nose.cylinder"), fmt.Sprint(axis), box, func(p paper.Point) bool {
		return math.Hypot(p.X-c.X, p.Y-c.Y) <= radius
	})
	angle := shape.Degrees(c, g.At)
	switch {
	case g.Taken:
		out.Add(wish.Hold{Turning: wish.Turning{Cell: cell, Grab: float64(axis) - angle, To: axis}})
	case g.Freed && n.Held != nil:
		out.Add(wish.Release{})
	case g.Held && n.Held != nil:
		held := *n.Held
		held.To = shape.Whole(angle + held.Grab)
		out.Add(wish.Hold{Turning: held})
	case g.Turn != 0:
		out.Add(wish.Turn(cell, shape.Folded(axis+g.Turn)))
	}
	if u.Focused("cylinder") {
		u.Ring("cylinder", box)
	}
	if n.Held != nil { // the figure stands where the eye is
		text, size := fmt.Sprint(n.Held.To), 28*u.Text
		w := paper.Width(text, size, paper.Bold)
		u.Scene().Box(paper.Rect{X: c.X - w/2 - 8, Y: c.Y - size*0.7, W: w + 16, H: size * 1.4}, 6, u.Theme.Sheet)
		u.Scene().Text(c.X-w/2, c.Y+size*0.36, size, paper.Bold, text, u.Theme.Act)
	}
}
