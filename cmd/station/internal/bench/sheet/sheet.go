// Package sheet has the small screens of the chair: what is laid in front of it
// to choose or to write something.
package sheet

import (
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/dialogs"
	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Sheet is one of them. What it wants done it adds to the wishes; it hands back
// desk.Close when it is closed, or what comes in its place.
type Sheet interface {
	Draw(d *desk.Desk, w View, out *wish.List) desk.Next
}

// View is what sheets are about.
type View struct {
	Brief     chair.Brief
	State     sitting.State
	Nose      nose.View
	Questions []patient.Question
	Practice  bool // hints and the conoid can be had, and the sitting left
	NoConoid  bool // it is hidden
	Hints     int
	Keys      []dialogs.Key
	Tools     []Tool // that the bar has no room for
}

// Tool is a button that leads to another sheet.
type Tool struct {
	ID, Label string
	Wish      wish.Wish
}

// Menu pauses the sitting: its clock stands still while it is open.
type Menu struct{}

// Draw implements Sheet.
func (Menu) Draw(d *desk.Desk, w View, out *wish.List) (next desk.Next) {
	next = desk.Stay{}
	v := d.Voice()
	runs, conoid := "bench.menu.runs", "bench.menu.conoid.hide"
	if w.Practice {
		runs = "bench.menu.paused"
	}
	if w.NoConoid {
		conoid = "bench.menu.conoid.show"
	}
	closed := d.UI.Dialog("menu", v.Text("bench.menu.title"), v.Text("bench.menu.back"), 460, func(c *ui.Column) {
		c.Para(v.Value(tell(runs)), ui.Quiet)
		c.Gap(8)
		button := func(id, label string) (pressed bool) {
			c.Flow(func(f *ui.Flow) { pressed = f.Button(id, label, ui.Plain) })
			return pressed
		}
		for _, t := range w.Tools {
			if button(t.ID, t.Label) {
				out.Add(t.Wish)
			}
		}
		if w.Practice && button("conoid", v.Value(tell(conoid))) {
			out.Add(wish.Conoid{Hidden: !w.NoConoid})
		}
		if button("settings", v.Text("bench.settings.title")) {
			next = desk.Open{Overlay: dialogs.Settings{}}
		}
		if button("calibrate", v.Text("bench.calibrate.title")) {
			next = desk.Open{Overlay: dialogs.Calibrate{}}
		}
		if button("keys", v.Text("bench.keys.title")) {
			next = desk.Open{Overlay: dialogs.Keys{Keys: w.Keys}}
		}
		if w.Practice && button("leave", v.Text("bench.menu.leave")) {
			out.Add(wish.Leave{})
		}
	})
	if closed {
		return desk.Close{}
	}
	return next
}
