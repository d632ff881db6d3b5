package home

import (
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/history"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// helpID is what the press that begins with a help is called.
func helpID(h chair.Help) string {
	if h == chair.Alone {
		return "examine"
	}
	return "examine " + string(h)
}

// helps are the ways to examine somebody, the one that is proposed as the press that leads
// on; lead is false where another press does. It gives the one that was pressed.
func helps(d *desk.Desk, c *ui.Column, lead bool) (chosen chair.Help, pressed bool) {
	v, u := d.Voice(), d.UI
	proposed := history.HelpFor(d.History.All())
	about := "bench.help.first"
	if proposed != chair.Led {
		about = "bench.help.less"
	}
	c.Para(v.Text("bench.help.title"), ui.Strong)
	c.Para(v.Text(about), ui.Note)
	c.Gap(6)
	wide := 0.0
	for _, h := range chair.Helps() {
		w, _ := u.ButtonSize(v.Value(h), c.W)
		wide = max(wide, w)
	}
	for _, h := range chair.Helps() {
		look := ui.Plain
		if lead && h == proposed {
			look = ui.Primary
		}
		if helpRow(u, c, wide, helpID(h), v.Value(h), v.Text(h.Name()+".about"), look) {
			chosen, pressed = h, true
		}
	}
	return chosen, pressed
}

// helpRow is a button with what it means beside it, or below where it is narrow.
func helpRow(u *ui.UI, c *ui.Column, wide float64, id, label, about string, look ui.Look) bool {
	const gap, least = 14, 200
	text := c.W - wide - gap
	if text < least*u.Text {
		r := c.Block(max(44, u.RowHeight()))
		pressed := u.Button(id, paper.Rect{X: r.X, Y: r.Y, W: min(wide, c.W), H: r.H}, label, look)
		c.Gap(2)
		c.Para(about, ui.Note)
		c.Gap(6)
		return pressed
	}
	high := u.ParaHeight(about, text, ui.Note)
	r := c.Block(max(44, u.RowHeight(), high))
	pressed := u.Button(id, paper.Rect{X: r.X, Y: r.Y + (r.H-max(44, u.RowHeight()))/2, W: wide, H: max(44, u.RowHeight())}, label, look)
	u.Para(r.X+wide+gap, r.Y+(r.H-high)/2, text, about, ui.Note)
	c.Gap(6)
	return pressed
}
