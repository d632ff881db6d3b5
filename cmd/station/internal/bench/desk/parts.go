package desk

import (
	"image/color"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// Gap is the room between the parts of the bench.
const Gap = 16

// Column is a column that scrolls if it has to.
func (d *Desk) Column(id string, r paper.Rect, body func(c *ui.Column)) {
	x, y, w := d.UI.Scroll(id, r, false)
	c := d.UI.Column(x+4, y+4, w-8)
	body(c)
	d.UI.EndScroll(c.Y + 8)
}

// Page is a column in the middle of the window, of a width at a text size of
// 100 %.
func (d *Desk) Page(id string, width float64, body func(c *ui.Column)) {
	all := d.UI.Window()
	wide := min(all.W-2*Gap, width)
	d.Column(id, paper.Rect{X: (all.W - wide) / 2, W: wide, H: all.H}, body)
}

// ShowNotice draws the notice.
func (d *Desk) ShowNotice(c *ui.Column) { ShowNotice(d.UI, c, d.Notice.In(d.Voice())) }

// ShowNotice draws a notice, if there is one.
func ShowNotice(u *ui.UI, c *ui.Column, n Said) {
	if n.Text == "" {
		return
	}
	c.Gap(4)
	h := u.ParaHeight(n.Text, c.W-16, n.Style)
	r := c.Block(h + 12)
	u.Scene().Box(paper.Rect{X: r.X, Y: r.Y, W: 4, H: r.H}, 0, n.Mark(&u.Theme))
	u.Para(r.X+12, r.Y+6, r.W-16, n.Text, n.Style)
	c.Gap(8)
}

// Mark is the colour of the line beside a notice, or around it.
func (n Said) Mark(t *ui.Theme) color.NRGBA {
	if n.Style == ui.Refusal {
		return t.Warn
	}
	return t.Act
}

// Entry is a field with its label above it; it reports whether Enter was pressed.
func Entry(u *ui.UI, c *ui.Column, id, label string, text *string) bool {
	c.Para(label, ui.Strong)
	c.Gap(2)
	_, entered := u.Field(id, paper.Rect{X: c.X, Y: c.Y, W: min(c.W, 320*u.Text), H: u.RowHeight()}, label, text)
	c.Gap(u.RowHeight() + 8)
	return entered
}

// Secret is a field for a passphrase; it reports whether Enter was pressed.
func Secret(u *ui.UI, c *ui.Column, id, label string, text *string) bool {
	c.Para(label, ui.Strong)
	c.Gap(2)
	_, entered := u.Secret(id, paper.Rect{X: c.X, Y: c.Y, W: min(c.W, 320*u.Text), H: u.RowHeight()}, label, text)
	c.Gap(u.RowHeight() + 8)
	return entered
}

// Choose is a choice of two in a row; it reports whether it is the second.
func Choose(c *ui.Column, id, head string, names []string, second bool) bool {
	at := 0
	if second {
		at = 1
	}
	return ui.Choose(c, id, head, names, at) == 1
}

// Fresh begins a screen at its top, with nothing kept of the one before.
func (d *Desk) Fresh() {
	for _, id := range []string{"home", "wall", "nose", "talk", "ask", "stack", "result", "exam", "lesson"} {
		d.UI.ScrollTo(id, 0)
	}
}
