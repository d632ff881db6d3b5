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
		d.Column("exam", pinned(d.UI), func(c *ui.Column) {
			c.Para(v.Text("bench.exam.title"), ui.Note)
			c.Para(head.Title, ui.Title)
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

// The sheet at a text size of 100 %, logical pixels.
const (
	sheetWide = 720.0
	sheetHigh = 640.0
)

// pinned draws the room with the sheet in it, and gives the part of that to write on.
func pinned(u *ui.UI) paper.Rect {
	sc, t, all, scale := u.Scene(), &u.Theme, u.Window(), max(1, u.Text*0.8)
	_, top := all.CutTop(all.H * 0.8)
	sc.Box(top, 0, t.Desk)
	sc.Box(paper.Rect{X: top.X, Y: top.Y, W: top.W, H: 6}, 0, t.Wood)
	w, h := min(all.W-16, sheetWide*scale), min(all.H-32, sheetHigh*scale)
	r := paper.Rect{X: (all.W - w) / 2, Y: (all.H-h)/2 + 4, W: w, H: h}
	sc.Box(paper.Rect{X: r.X + 3, Y: r.Y + 4, W: r.W, H: r.H}, 3, t.Shade)
	sc.Box(r, 3, t.Sheet)
	sc.Frame(r, 3, 1, t.Edge)
	clip := paper.Rect{X: r.Centre().X - 36, Y: r.Y - 8, W: 72, H: 18}
	sc.Box(clip, 4, t.Brass)
	_, in := r.CutTop(22)
	side := 16.0
	if w > 480 {
		side = 32
	}
	return paper.Rect{X: in.X + side, Y: in.Y, W: in.W - 2*side, H: in.H - 12}
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
