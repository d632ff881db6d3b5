package inchair

import (
	"conoid/cases"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// Press is the button that leads to the choice, in few words where there is little room.
func Press(v voice.Voice, few bool) string {
	if few {
		return v.Text("inchair.press.few")
	}
	return v.Text("inchair.press")
}

// Choose is the choice of the person in whose place to sit.
type Choose struct{}

// Draw implements desk.Overlay.
func (Choose) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v := d.Voice()
	closed := d.UI.Dialog("in chair", v.Text("inchair.choose.title"), v.Text("bench.close"), 720, func(c *ui.Column) {
		c.Para(v.Text("inchair.choose.about"), ui.Body)
		c.Gap(4)
		c.Para(v.Text("inchair.caution"), ui.Caution)
		c.Gap(8)
		if d.Work.Busy() {
			c.Para(v.Text("inchair.waiting"), ui.Strong)
			c.Gap(8)
		}
		if who := people(d, c); who != nil {
			next = desk.Later{Work: func() desk.Next { return begin(d, who) }}
		}
	})
	if closed {
		return desk.Close{}
	}
	return next
}

// people are those of the library, in as many columns as there is room for; it gives
// who was chosen.
func people(d *desk.Desk, c *ui.Column) (chosen *cases.Case) {
	u, gap := d.UI, 8.0
	abreast := max(1, min(3, int((c.W+gap)/(200*u.Text+gap))))
	wide := (c.W - gap*float64(abreast-1)) / float64(abreast)
	for i, cs := range desk.Library() {
		k := i % abreast
		r := paper.Rect{X: c.X + float64(k)*(wide+gap), Y: c.Y, W: wide, H: personHigh(d, wide)}
		if person(d, r, cs) {
			chosen = cs
		}
		if k == abreast-1 {
			c.Gap(r.H + gap)
		}
	}
	return chosen
}

// portrait is how large a face is, logical pixels.
const portrait = 44

// personHigh is how high a card has to be for the longest name.
func personHigh(d *desk.Desk, wide float64) (high float64) {
	for _, cs := range desk.Library() {
		high = max(high, d.UI.ParaHeight(cs.Texts(d.Voice().Language).Title, wide-portrait-28, ui.SmallBold))
	}
	return max(portrait, high) + 12
}

func person(d *desk.Desk, r paper.Rect, cs *cases.Case) bool {
	u, title := d.UI, cs.Texts(d.Voice().Language).Title
	pressed := ui.Card(u, "take "+cs.ID, r, title)
	face.Draw(u, paper.Rect{X: r.X + 8, Y: r.Y + (r.H-portrait)/2, W: portrait, H: portrait},
		face.Of(face.Who{ID: cs.ID, Title: cs.Title, Name: cs.Name, Age: cs.Age}), face.Opts{})
	h := u.ParaHeight(title, r.W-portrait-28, ui.SmallBold)
	ui.Lines(u, paper.Rect{X: r.X + portrait + 18, Y: r.Y + (r.H-h)/2, W: r.W - portrait - 28, H: h}, title, ui.SmallBold, ui.Start)
	return pressed
}
