package ui

import "conoid/cmd/station/internal/paper"

// Line is a row of a list of choices: what it is about at the left and the parts that
// place puts at the right, so wide in all, or below it where there is no room for both.
func Line(c *Column, label string, wide float64, place func(f *Flow)) {
	u, h := c.u, c.u.RowHeight()
	text := u.Width(label, Body) + 1
	if text+24+wide > c.W {
		c.Gap(2)
		c.Para(label, Body)
		c.Gap(4)
		c.Flow(place)
		return
	}
	u.Label(paper.Rect{X: c.X, Y: c.Y, W: text, H: h}, label, Body, Start)
	f := u.Flow(c.X+c.W-wide, c.Y, wide)
	place(f)
	c.Y = f.Bottom() + 8
}

// Choose is a choice of several in a row of its own; it gives the new choice.
func Choose(c *Column, id, label string, names []string, at int) int {
	wide := -8.0
	for _, n := range names {
		w, _ := c.u.ButtonSize(n, c.W)
		wide += w + 8
	}
	Line(c, label, wide, func(f *Flow) {
		c.u.group = label
		defer func() { c.u.group = "" }()
		for i, n := range names {
			look := Plain
			if i == at {
				look = Selected
			}
			if f.Button(id+" "+n, n, look) {
				at = i
			}
		}
	})
	return at
}

// Between draws a thin line between two rows.
func Between(c *Column) {
	c.u.scene.Box(paper.Rect{X: c.X, Y: c.Y - 4, W: c.W, H: 1}, 0, c.u.Theme.Rule)
	c.Gap(5)
}

// Step is a value with a button on either side in a row of its own; it tells by how many
// steps it is to change.
func Step(c *Column, id, label, value string) (by int) {
	h := c.u.RowHeight()
	Line(c, label, 2*h+max(c.u.Width(value, Strong)+16, 2*h), func(f *Flow) { by = f.Stepper(id, label, value) })
	return by
}

// Tall has rows the height of a finger, as in dialogs, on a screen that has room for it.
func Tall(u *UI, body func()) {
	u.tall = true
	body()
	u.tall = false
}
