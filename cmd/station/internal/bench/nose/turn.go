package nose

import (
	"fmt"
	"math"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/optics"
)

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

// The knob of a cylinder: what is seen of it, what the hand finds, and where it
// is, logical pixels at a text size of 100 %.
const (
	knobRadius = 19
	knobReach  = 24
	knobAt     = 52 // outside the rim, beyond the figures
)

// turnable lets a cylinder be turned by hand, by the knob that bears its axis or
// anywhere on the frame. In a column that scrolls only the knob is a handle: who
// scrolls by a finger must not turn a cylinder.
func (p closeup) turnable(in paper.Rect) {
	lifted := p.liftable()
	defer p.drawLifted()
	cell, ok := p.n.Turnable()
	if !ok {
		return
	}
	axis := p.n.frame().Lenses[cell].Axis
	knob := shape.At(p.c, p.knob, axis)
	reach := p.knob + knobReach*p.k
	box := paper.Rect{X: p.c.X - reach, Y: p.c.Y - reach, W: 2 * reach, H: 2 * reach}
	free := !ui.Scrolls(p.u) && !p.knobs
	g := p.u.Grip("cylinder", p.v.Text("bench.nose.cylinder"), fmt.Sprint(int(axis)), box, func(at paper.Point) bool {
		onKnob := math.Hypot(at.X-knob.X, at.Y-knob.Y) <= knobReach*p.k
		return !lifted(at) && (onKnob || free && math.Hypot(at.X-p.c.X, at.Y-p.c.Y) <= reach)
	})
	p.turned(g, wish.Turning{Cell: cell, To: int(axis)}, shape.Degrees(p.c, g.At), func(turn int) {
		p.out.Add(wish.Turn(cell, shape.Folded(int(axis)+turn)))
	})
	p.drawKnob(axis)
	if p.u.Focused("cylinder") {
		p.u.Ring("cylinder", box.Intersect(in).Inset(6))
	}
	if p.n.Held != nil { // a finger may lie on the knob: the figure stands where the eye is
		p.figure(p.c, p.n.Held.To)
	}
}

// turned wishes what the hand does to a cylinder that stands at an axis; angle is where the hand
// is, and by turns it with the keys.
func (p closeup) turned(g ui.Grip, it wish.Turning, angle float64, by func(turn int)) {
	held := p.n.Held
	switch {
	case g.Taken:
		it.Grab = float64(it.To) - angle
		p.out.Add(wish.Hold{Turning: it})
	case g.Freed && held != nil:
		p.out.Add(wish.Release{})
	case g.Held && held != nil:
		to := *held
		to.To = shape.Whole(angle + held.Grab)
		p.out.Add(wish.Hold{Turning: to})
	case g.Turn != 0:
		by(g.Turn)
	}
}

// drawKnob draws the knob at the end of an axis, and where the other end stands on the
// scale. No figure of it is drawn over: where one is in the way, what leads to the knob ends
// before it.
func (p closeup) drawKnob(axis float64) {
	sc, t := p.u.Scene(), &p.u.Theme
	at, r := shape.At(p.c, p.knob, axis), knobRadius*p.k
	short := p.rim + min(13, p.plate)
	if p.full {
		short = p.rim + 7 // before the figures
	}
	to := at
	if p.strikes(axis) {
		to = shape.At(p.c, short, axis)
	}
	shape.Stick(sc, shape.At(p.c, p.rim+1, axis), to, 3, t.Blue)
	shape.Stick(sc, shape.At(p.c, p.rim+1, axis+180), shape.At(p.c, short, axis+180), 3, t.Blue)
	shape.Disc(sc, paper.Point{X: at.X + 1, Y: at.Y + 2}, r, t.Shade)
	shape.Disc(sc, at, r, t.Blue)
	p.centred(at, 14*p.k, paper.Bold, fmt.Sprint(int(axis)), t.Sheet)
}

// figure writes an axis large.
func (p closeup) figure(c paper.Point, axis int) {
	text, size := fmt.Sprint(axis), 28*p.u.Text
	w := paper.Width(text, size, paper.Bold)
	p.u.Scene().Box(paper.Rect{X: c.X - w/2 - 8, Y: c.Y - size*0.7, W: w + 16, H: size * 1.4}, 6, p.u.Theme.Sheet)
	p.centred(c, size, paper.Bold, text, p.u.Theme.Blue)
}
