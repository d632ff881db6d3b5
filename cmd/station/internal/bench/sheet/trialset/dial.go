package trialset

import (
	"fmt"
	"image/color"
	"math"
	"strconv"
	"strings"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// paleOf is a colour that lets through what lies below it.
func paleOf(c color.NRGBA) color.NRGBA {
	c.A = 46
	return c
}

// The dial, logical pixels at a text size of 100 %: its rim, the plate of its scale
// around it, the knob, what the hand finds of it, the width of all with its keys, and of the
// field at least.
const (
	rim        = 56
	plate      = 30
	knob       = 18
	reach      = 24
	dialWide   = 4*target + 16
	keysWide   = 2*target + 4
	leastField = 60
	dialBelow  = 560 // the width below which the dial stands below the case
)

// axial is what has an axis: cylinders, and the dial for it.
type axial struct{ drawing }

// cylinders are the cylinders, and beside or below them the dial of their axis.
func (p axial) cylinders() {
	c, k := p.c, p.u.Text
	x, y, w := c.X, c.Y, c.W
	if w < dialBelow*k {
		p.box(w)
		p.dialAcross()
		return
	}
	p.box(w - (dialWide+14)*k)
	foot := c.Y
	c.X, c.Y, c.W = x+w-dialWide*k, y, dialWide*k
	p.dial(c.Block(2*(rim+plate)*k + 4))
	c.Gap(4)
	p.keys(c.Block(target * k))
	c.Gap(6)
	p.axisField(c.Block(target * k))
	c.X, c.W, c.Y = x, w, max(foot, c.Y+8)
}

// dialAcross is the dial with its keys at its side.
func (p axial) dialAcross() {
	c, k := p.c, p.u.Text
	if c.W < (2*(rim+plate)+keysWide+12)*k {
		p.dial(c.Block(2*(rim+plate)*k + 4))
		c.Gap(p.u.LineHeight(ui.SmallBold))
		p.axisField(c.Block(target * k))
		c.Gap(6)
		p.keys(c.Block(2*target*k + 4)) // two rows, if need be
		c.Gap(10)
		return
	}
	r := c.Block(2*(rim+plate)*k + 4)
	left, right := r.CutLeft((2*(rim+plate) + 4) * k)
	_, right = right.CutLeft(8)
	p.dial(left)
	field := right
	field.H, field.Y = target*k, r.Y+p.u.LineHeight(ui.SmallBold)+2
	p.axisField(field)
	p.keys(paper.Rect{X: right.X, Y: field.Bottom() + 6, W: min(right.W, keysWide*k), H: 2*target*k + 6})
	c.Gap(8)
}

// dial is the scale of standard notation (ISO 8429) with a knob at the axis. In a column
// that scrolls only the knob is a handle: who scrolls by a finger must not turn it.
func (p axial) dial(r paper.Rect) {
	u, k := p.u, p.u.Text
	c := r.Centre()
	free := !ui.Scrolls(u)
	at := shape.At(c, (rim-knob+4)*k, float64(p.axis))
	all := (rim + plate) * k
	box := paper.Rect{X: c.X - all, Y: c.Y - all, W: 2 * all, H: 2 * all}
	g := u.Grip("new axis", p.v.Text("bench.set.dial"), strconv.Itoa(p.axis), box, func(q paper.Point) bool {
		return math.Hypot(q.X-at.X, q.Y-at.Y) <= reach*k || free && math.Hypot(q.X-c.X, q.Y-c.Y) <= all
	})
	p.turned(g, shape.Degrees(c, g.At))
	p.plate(c)
	if u.Focused("new axis") {
		u.Ring("new axis", box.Inset(4))
	}
}

// turned turns the new cylinder with the hand, or by keys.
func (p axial) turned(g ui.Grip, angle float64) {
	was := p.axis
	switch {
	case g.Taken:
		p.turning = float64(p.axis) - angle
	case g.Held:
		p.turn(shape.Whole(angle + p.turning))
	case g.Turn != 0:
		p.turn(shape.Folded(p.axis + g.Turn))
	}
	if p.axis != was {
		p.u.Unsettle()
	}
}

// plate draws the scale, the axis across it and the knob.
func (p axial) plate(c paper.Point) {
	sc, k, t := p.u.Scene(), p.u.Text, &p.u.Theme
	shape.Circle(sc, c, (rim+plate/2)*k, plate*k, t.Sheet)
	shape.Circle(sc, c, (rim+plate)*k, 1.5, t.Edge)
	shape.Disc(sc, c, rim*k, t.Felt)
	shape.Circle(sc, c, rim*k, 1.5, t.Edge)
	for d := 0; d < 360; d += 10 {
		p.mark(c, d)
	}
	axis := float64(p.axis)
	shape.Stick(sc, shape.At(c, rim*k, axis), shape.At(c, rim*k, axis+180), 3, t.Blue)
	at := shape.At(c, (rim-knob+4)*k, axis)
	shape.Disc(sc, at, knob*k, t.Blue)
	p.centred(at, 14*k, paper.Bold, strconv.Itoa(p.axis), t.Sheet)
}

// mark draws a line of the scale, and a figure every 30 degrees.
func (p axial) mark(c paper.Point, d int) {
	k, t := p.u.Text, &p.u.Theme
	a, b := shape.At(c, (rim+2)*k, float64(d)), shape.At(c, (rim+6)*k, float64(d))
	p.u.Scene().Line(a.X, a.Y, b.X, b.Y, 1.5, t.Ink)
	if d%30 == 0 {
		p.centred(shape.At(c, (rim+18)*k, float64(d)), 13*k, paper.Regular, strconv.Itoa(shape.Folded(d)), t.Ink)
	}
}

// centred writes a text around a point.
func (p axial) centred(at paper.Point, size float64, w paper.Weight, text string, col color.NRGBA) {
	p.u.Scene().Text(at.X-paper.Width(text, size, w)/2, at.Y+paper.CapHeight(size, w)/2, size, w, text, col)
}

// keys turn the new cylinder by so many degrees, in one row or in two.
func (p axial) keys(r paper.Rect) {
	wide, gap, row := target*p.u.Text, 4.0, 4
	if r.W < 4*wide+3*gap {
		row = 2
	}
	for i, by := range []int{-5, -1, 1, 5} {
		turn := fact.Turn(by)
		place := paper.Rect{X: r.X + float64(i%row)*(wide+gap), Y: r.Y + float64(i/row)*(wide+gap), W: wide, H: wide}
		if p.u.Sign(true, fmt.Sprintf("new axis %+d", by), place, p.v.Value(turn), p.v.Text("bench.tray.turn", "turn", turn), ui.Plain) {
			p.turn(shape.Folded(p.axis + by))
			p.u.Unsettle()
		}
	}
}

// axisField is the axis as it is typed, with what is allowed before it, or above it where it
// is narrow.
func (p axial) axisField(r paper.Rect) {
	u, label, ink := p.u, p.v.Text("bench.set.axis"), p.u.Theme.Ink
	if p.noAxis() {
		ink = u.Theme.Warn
	}
	word := paper.Rect{X: r.X, Y: r.Y, W: u.Width(label, ui.SmallBold) + 8, H: r.H}
	field := r
	if word.W+leastField*u.Text <= r.W {
		_, field = r.CutLeft(word.W)
	} else {
		word.H = u.LineHeight(ui.SmallBold)
		word.Y -= word.H
	}
	u.Coloured(word, label, ui.SmallBold, ui.Start, ink)
	field.W = min(field.W, 90*u.Text)
	if changed, _ := u.Field("axis typed", field, label, &p.written); !changed {
		return
	}
	if axis, ok := axisOf(p.written); ok {
		p.axis = axis
	}
	u.Unsettle()
}

// noAxis reports whether what is typed as the axis is none.
func (s *Set) noAxis() bool {
	_, ok := axisOf(s.written)
	return !ok && s.kind == optics.CylinderLens && strings.TrimSpace(s.written) != ""
}

// axisOf is the axis that a text says, in whole degrees, 1 to 180; 0 is 180.
func axisOf(text string) (axis int, ok bool) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil || n < 0 || n > 180 {
		return 0, false
	}
	return shape.Folded(n), true
}
