package exam

import (
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring/practical"
)

// page draws what all of them have around their own part: a sheet of paper in a clip,
// in the room before the desk.
func page(d *desk.Desk, head *practical.Sealed, body func(v voice.Voice, c *ui.Column)) {
	v := d.Voice()
	ui.Tall(d.UI, func() {
		d.Column("exam", d.Pinned(), func(c *ui.Column) {
			if head.Title == "" { // of a practical that nobody is in yet
				c.Para(v.Text("bench.exam.title"), ui.Title)
			} else {
				c.Para(v.Text("bench.exam.title"), ui.Note)
				c.Para(head.Title, ui.Title)
			}
			if head.Rehearsal {
				c.Para(v.Text("bench.exam.rehearsal"), ui.Strong)
			}
			c.Rule()
			d.ShowNotice(c)
			if d.Work.Busy() {
				c.Para(v.Text("bench.home.waiting"), ui.Quiet)
			}
			body(v, c)
			c.Rule()
			c.Para(v.Text("caution"), ui.Caution)
		})
	})
}

// places are the cases of a practical on a thread: those behind are full, the next one
// is ringed.
func places(u *ui.UI, c *ui.Column, at, all int) {
	const step, most = 26.0, 20 // more would say less
	if all > most || float64(all)*step > c.W {
		return
	}
	r := c.Block(26)
	sc, t, y := u.Scene(), &u.Theme, r.Centre().Y
	x := func(n int) float64 { return r.X + 10 + float64(n-1)*step }
	sc.Line(x(1), y, x(all), y, 2, t.Edge)
	for n := 1; n <= all; n++ {
		p := paper.Point{X: x(n), Y: y}
		switch {
		case n < at:
			shape.Disc(sc, p, 6, t.Ink)
		case n == at:
			shape.Disc(sc, p, 10, t.Act)
			shape.Disc(sc, p, 4, t.OnAct)
		default:
			shape.Disc(sc, p, 6, t.Sheet)
			shape.Circle(sc, p, 5.2, 1.6, t.Edge)
		}
	}
}
