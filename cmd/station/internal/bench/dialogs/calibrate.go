package dialogs

import (
	"fmt"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// Calibrate finds out how large a logical pixel is.
type Calibrate struct{}

// Draw implements desk.Overlay.
func (Calibrate) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v, s := d.Voice(), d.Settings.Now()
	if s.Card == 0 {
		s.Card = settings.UsualCard
	}
	closed := d.UI.Dialog("calibrate", v.Text("bench.calibrate.title"), v.Text("bench.close"), 640, func(c *ui.Column) {
		c.Para(v.Text("bench.calibrate.about"), ui.Body)
		c.Gap(12)
		s.Card = card(d.UI, c, v, s.Card)
		c.Gap(14)
		s.Card += float64(ui.Step(c, "card width", v.Text("bench.calibrate.card"), fmt.Sprintf("%.0f", s.Card)))
		ui.Between(c)
		s.Viewing += 5 * float64(ui.Step(c, "viewing", v.Text("bench.calibrate.distance"), v.Text("bench.calibrate.cm", "cm", fact.Number(s.Viewing))))
		c.Flow(func(f *ui.Flow) {
			if f.Button("uncalibrate", v.Text("bench.calibrate.off"), ui.Plain) {
				s.Card = 0
				next = desk.Close{}
			}
		})
	})
	d.Change(func(now *settings.Settings) { *now = s })
	if closed {
		return desk.Close{}
	}
	return next
}

// card is the outline of a bank card, to be made as wide as one.
func card(u *ui.UI, c *ui.Column, v voice.Voice, width float64) float64 {
	w := min(width, c.W)
	r := c.Block(w * 53.98 / settings.CardWidth)
	r.W = w
	bank(u, r)
	g := u.Grip("bank card", v.Text("bench.calibrate.card"), fmt.Sprintf("%.0f", width), r, nil)
	if g.Held {
		width = min(max(g.At.X-r.X, 120), c.W)
	}
	u.Ring("bank card", r)
	return width + float64(g.Turn)
}

// bank draws a bank card that belongs to nobody: its stripe, a chip, a number of dots,
// and a handle on the edge that is dragged. The corners are those of ISO/IEC 7810, whose
// radius of about 3 mm is from memory.
func bank(u *ui.UI, r paper.Rect) {
	sc, t, mm := u.Scene(), &u.Theme, r.W/settings.CardWidth
	sc.Box(r, 3.2*mm, t.Sheet)
	sc.Box(paper.Rect{X: r.X, Y: r.Y + 5*mm, W: r.W, H: 9 * mm}, 0, t.Felt)
	chip := paper.Rect{X: r.X + 10*mm, Y: r.Y + 20*mm, W: 11 * mm, H: 9 * mm}
	sc.Box(chip, 1.5*mm, t.Touch)
	sc.Frame(chip, 1.5*mm, 1, t.Edge)
	sc.Line(chip.X, chip.Centre().Y, chip.Right(), chip.Centre().Y, 1, t.Edge)
	sc.Line(chip.Centre().X, chip.Y, chip.Centre().X, chip.Bottom(), 1, t.Edge)
	for group := range 4 {
		for dot := range 4 {
			x := 11 + 15.5*float64(group) + 3*float64(dot)
			shape.Disc(sc, paper.Point{X: r.X + x*mm, Y: r.Y + 36*mm}, 0.9*mm, t.Edge)
		}
	}
	sc.Box(paper.Rect{X: r.X + 10*mm, Y: r.Y + 44*mm, W: 30 * mm, H: 1.5 * mm}, 0, t.Rule)
	sc.Frame(r, 3.2*mm, 2, t.Ink)
	grip := paper.Rect{X: r.Right() - 5, Y: r.Centre().Y - 20, W: 10, H: 40}
	sc.Box(grip, 5, t.Act)
	sc.Frame(grip, 5, 1.5, t.Sheet)
}
