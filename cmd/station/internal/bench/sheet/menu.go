package sheet

import (
	"math"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/dialogs"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// Menu pauses the sitting: its clock stands still while it is open.
type Menu struct{}

// Draw implements Sheet.
func (Menu) Draw(d *desk.Desk, w View, out *wish.List) (next desk.Next) {
	next = desk.Stay{}
	v := d.Voice()
	runs := "bench.menu.runs"
	if w.Practice {
		runs = "bench.menu.paused"
	}
	closed := d.UI.Dialog("menu", v.Text("bench.menu.title"), v.Text("bench.menu.back"), 460, func(c *ui.Column) {
		c.Para(v.Value(tell(runs)), ui.Note)
		c.Gap(10)
		line := func(id, label string) bool { return menuLine(d.UI, c, id, label) }
		present(d, w, line, out)
		c.Gap(20)
		if w.Practice && d.Edit != nil && line("edit", v.Text("bench.home.edit")) {
			d.Edit()
		}
		next = housekeeping(d, w, line)
	})
	if closed {
		return desk.Close{}
	}
	return next
}

// present are the lines about this sitting.
func present(d *desk.Desk, w View, line func(id, label string) bool, out *wish.List) {
	v := d.Voice()
	for _, t := range w.Tools {
		if line(t.ID, t.Label) {
			out.Add(t.Wish)
		}
	}
	conoid := "bench.menu.conoid.hide"
	if w.NoConoid {
		conoid = "bench.menu.conoid.show"
	}
	if w.Practice && line("conoid", v.Value(tell(conoid))) {
		out.Add(wish.Conoid{Hidden: !w.NoConoid})
	}
	if w.Practice && line("leave", v.Text("bench.menu.leave")) {
		out.Add(wish.Leave{})
	}
}

// housekeeping are the lines about everything else.
func housekeeping(d *desk.Desk, w View, line func(id, label string) bool) (next desk.Next) {
	next = desk.Stay{}
	v := d.Voice()
	if w.Assessor != nil && line("assessor", v.Text("bench.assessor.entry")) {
		next = desk.Open{Overlay: w.Assessor}
	}
	if line("settings", v.Text("bench.settings.title")) {
		next = desk.Open{Overlay: dialogs.Settings{}}
	}
	if line("calibrate", v.Text("bench.calibrate.title")) {
		next = desk.Open{Overlay: dialogs.Calibrate{}}
	}
	if line("keys", v.Text("bench.keys.title")) {
		next = desk.Open{Overlay: dialogs.Keys{Keys: w.Keys}}
	}
	return next
}

// menuLine is a line of a list that leads on, as wide as the list.
func menuLine(u *ui.UI, c *ui.Column, id, label string) bool {
	const pad, arrow = 14, 20
	wide := c.W - 2*pad - arrow
	high := u.ParaHeight(label, wide, ui.Body)
	r := c.Block(math.Ceil(max(44*max(1, u.Text), high+14)))
	pressed := ui.Blank(u, id, r, label, ui.Plain, false)
	words := paper.Rect{X: r.X + pad, Y: r.Y + (r.H-high)/2, W: wide, H: high}
	ui.Lines(u, words, label, ui.Body, ui.Start)
	x, y := r.Right()-pad-5, r.Centre().Y
	shape.Stick(u.Scene(), paper.Point{X: x, Y: y - 5}, paper.Point{X: x + 5, Y: y}, 2, u.Theme.Edge)
	shape.Stick(u.Scene(), paper.Point{X: x + 5, Y: y}, paper.Point{X: x, Y: y + 5}, 2, u.Theme.Edge)
	c.Gap(5)
	return pressed
}
