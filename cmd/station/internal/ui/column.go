package ui

import (
	"math"

	"conoid/cmd/station/internal/paper"
)

// Column writes parts below one another.
type Column struct {
	u       *UI
	X, Y, W float64
}

// Column starts a column at x, y of a width.
func (u *UI) Column(x, y, w float64) *Column { return &Column{u, x, y, w} }

// Gap leaves room.
func (c *Column) Gap(h float64) { c.Y += h }

// Head writes a heading.
func (c *Column) Head(text string) { c.Para(text, Head); c.Gap(4) }

// Para writes a text.
func (c *Column) Para(text string, s Style) { c.Y += c.u.Para(c.X, c.Y, c.W, text, s) }

// Table writes rows of cells below one another, and reports whether there was room
// for that; if not, nothing is written.
func (c *Column) Table(rows [][]string, s Style) bool {
	u, gap := c.u, 14*c.u.Text
	var widths []float64
	for _, row := range rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], math.Ceil(u.Width(cell, s))+1)
		}
	}
	all := -gap
	for _, w := range widths {
		all += w + gap
	}
	if all > c.W {
		return false
	}
	for _, row := range rows {
		r := c.Block(u.LineHeight(s))
		for i, cell := range row {
			r.W = widths[i]
			u.Label(r, cell, s, Start)
			r.X += widths[i] + gap
		}
	}
	return true
}

// Headline writes what a screen is about, in whatever style it has room.
func (c *Column) Headline(text string, s Style) {
	c.Para(text, s)
	c.u.things[len(c.u.things)-1].Level = 1
}

// Block takes a part of the height.
func (c *Column) Block(h float64) paper.Rect {
	r := paper.Rect{X: c.X, Y: c.Y, W: c.W, H: h}
	c.Y += h
	return r
}

// Rule draws a line across.
func (c *Column) Rule() {
	c.Gap(8)
	c.u.scene.Box(paper.Rect{X: c.X, Y: c.Y, W: c.W, H: 1}, 0, c.u.Theme.Rule)
	c.Gap(9)
}

// Flow places parts beside one another.
func (c *Column) Flow(place func(f *Flow)) {
	f := c.u.Flow(c.X, c.Y, c.W)
	place(f)
	c.Y = f.Bottom() + 8
}

// Stepper is a value with a button on either side; it tells by how many steps
// it is to change.
func (c *Column) Stepper(id, label, value string) (by int) {
	u, h := c.u, c.u.RowHeight()
	first := max(u.Width(label, Body)+12, min(c.W*0.4, 160*u.Text))
	if wide := 2*h + max(u.Width(value, Strong)+16, 2*h); first+wide > c.W {
		c.Para(label, Body)
		first = 0
	} else {
		u.Label(paper.Rect{X: c.X, Y: c.Y, W: first, H: h}, label, Body, Start)
	}
	f := u.Flow(c.X+first, c.Y, c.W-first)
	by = f.Stepper(id, label, value)
	c.Y = f.Bottom() + 8
	return by
}

// Stepper is a value with a button on either side in a row.
func (f *Flow) Stepper(id, label, value string) (by int) {
	u, h := f.u, f.u.RowHeight()
	wide := max(u.Width(value, Strong)+16, 4*h/2)
	r := f.Next(2*h+wide, h)
	if r.W < 2*h+wide-0.01 { // narrow: the value keeps what is left
		wide = r.W - 2*h
	}
	if u.Sign(true, id+" less", paper.Rect{X: r.X, Y: r.Y, W: h, H: h}, "−", u.Names.Less(label), Plain) {
		by--
	}
	u.Label(paper.Rect{X: r.X + h, Y: r.Y, W: wide, H: h}, value, Strong, Middle)
	if u.Sign(true, id+" more", paper.Rect{X: r.X + h + wide, Y: r.Y, W: h, H: h}, "+", u.Names.More(label), Plain) {
		by++
	}
	return by
}

// Dialog draws a sheet in front of all the rest, of a width and at most as
// high as the window, with a title and what body writes, and scrolls it if
// need be. It reports whether it was closed by Escape or by the close button,
// whose name is given.
func (u *UI) Dialog(id, name, closing string, width float64, body func(c *Column)) (closed bool) {
	u.Front()
	defer u.Back()
	u.tall = true
	defer func() { u.tall = false }()
	w := u.window
	u.scene.Box(w, 0, u.Theme.Veil)
	width = min(width*max(1, u.Text*0.8), w.W-16)
	head, high := headOf(u, width-40, name, closing), w.H-16
	if s := u.rolls[id]; s != nil && s.content > 0 {
		high = min(high, s.content+head.high()+56)
	}
	high = math.Ceil(high)
	r := paper.Rect{X: math.Round((w.W - width) / 2), Y: math.Round((w.H - high) / 2), W: width, H: high}
	u.scene.Box(r, 10, u.Theme.Room)
	u.scene.Frame(r, 10, 1, u.Theme.Edge)
	u.add(Thing{ID: id, Role: RoleDialog, Label: name, Rect: r})
	if u.inert() { // it has only just come
		u.again = true
	}
	in := r.Inset(20)
	top, closed := head.high(), head.draw(u, in, id)
	view := paper.Rect{X: in.X - 6, Y: in.Y + top + 10, W: in.W + 12, H: in.Bottom() - in.Y - top - 10}
	was := 0.0
	if s := u.rolls[id]; s != nil {
		was = s.content
	}
	x, y, cw := u.Scroll(id, view, false)
	c := u.Column(x+6, y+4, cw-6)
	body(c)
	u.EndScroll(c.Y + 6)
	if u.rolls[id].content != was {
		u.again = true
	}
	return closed || !u.inert() && u.Take(Escape)
}
