package desk

import (
	"conoid/cmd/station/internal/paper"
)

// The sheet at a text size of 100 %, logical pixels.
const (
	sheetWide = 720.0
	sheetHigh = 704.0
)

// Pinned draws the room with a sheet of paper in a clip before the desk, and gives the part of
// the sheet to write on.
func (d *Desk) Pinned() paper.Rect {
	u := d.UI
	sc, t, all, scale := u.Scene(), &u.Theme, u.Window(), max(1, u.Text*0.8)
	_, top := all.CutTop(all.H * 0.8)
	sc.Box(top, 0, t.Desk)
	sc.Box(paper.Rect{X: top.X, Y: top.Y, W: top.W, H: 6}, 0, t.Wood)
	w, h := min(all.W-16, sheetWide*scale), min(all.H-32, sheetHigh*scale)
	if w < sheetWide*scale { // what has less room beside has more below
		h = all.H - 32
	}
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
