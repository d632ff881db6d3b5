package conoid

import (
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// reasons are what stands on the plate of the shutter, and below it.
var reasons = map[Shut][2]string{
	Dark:    {"bench.view.dark", "bench.conoid.shut.dark"},
	Guess:   {"bench.conoid.shut.guess", "bench.conoid.shut.together"},
	Without: {"bench.conoid.shut.without", "bench.conoid.shut.hint"},
}

// shutter closes the chamber with boards of wood, and a plate that says why.
func shutter(u *ui.UI, v voice.Voice, r paper.Rect, why Shut) {
	sc, t := u.Scene(), u.Theme
	sc.Box(r, 10, t.WoodDeep)
	const board = 26
	for y := r.Y + board; y < r.Bottom()-board/2; y += board {
		sc.Box(paper.Rect{X: r.X + 10, Y: y, W: r.W - 20, H: 2}, 0, t.Wood)
	}
	sc.Frame(r, 10, 1, t.Edge)

	head, below := v.Text(reasons[why][0]), v.Text(reasons[why][1])
	wide := min(r.W-24, max(u.Width(head, ui.Strong), u.Width(below, ui.Small))+40)
	in := wide - 24
	tall, small := u.ParaHeight(head, in, ui.Strong), u.ParaHeight(below, in, ui.Note)
	plate := paper.Rect{X: r.X + (r.W-wide)/2, W: wide, H: tall + small + 20}
	if plate.H > r.H-8 { // little room: the reason alone
		below, plate.H = "", tall+16
	}
	plate.Y = r.Y + (r.H-plate.H)/2
	sc.Box(plate, 8, t.Sheet)
	sc.Frame(plate, 8, 1, t.Edge)
	y := plate.Y + (plate.H-tall-small)/2
	if below == "" {
		y = plate.Y + (plate.H-tall)/2
	}
	y += u.Para(plate.X+12, y, in, head, ui.Strong)
	if below != "" {
		u.Para(plate.X+12, y, in, below, ui.Note)
	}
}
