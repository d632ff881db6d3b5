package wall

import (
	"image/color"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/chart"
)

// thumb is a small picture of a chart, in strokes that are seen at its size.
func thumb(u *ui.UI, r paper.Rect, c chart.Chart) {
	u.Scene().Box(r, 2, shape.White())
	u.Clip(r)
	switch c.Kind {
	case chart.DialChart:
		thumbDial(u.Scene(), r, c)
	case chart.ArrowChart:
		thumbArrow(u.Scene(), r)
	case chart.BlockChart:
		thumbBlocks(u.Scene(), r)
	case chart.LetterChart:
		thumbLetters(u.Scene(), r, c.Sized)
	case chart.ColourChart:
		thumbColours(u.Scene(), r)
	}
	u.Unclip()
	u.Scene().Frame(r, 2, 1, u.Theme.Edge)
}

func thumbDial(sc *paper.Scene, r paper.Rect, c chart.Chart) {
	spoke := func(mid paper.Point, inner, outer, angle, width float64) {
		p, q := shape.At(mid, inner*r.H, angle), shape.At(mid, outer*r.H, angle)
		sc.Line(p.X, p.Y, q.X, q.Y, width, black)
	}
	mid := r.Centre()
	switch {
	case c.Half:
		for a := 0.0; a <= 180; a += 20 {
			spoke(paper.Point{X: mid.X, Y: r.Bottom() - 4}, 0.34, 0.82, a, 2)
		}
	case c.Step == 30: // a line for each hour
		for a := 0.0; a < 360; a += 30 {
			spoke(mid, 0.14, 0.44, a, 1.8)
		}
	default:
		for a := 0.0; a < 360; a += 15 {
			spoke(mid, 0.28, 0.44, a, 1.2)
		}
	}
}

func thumbArrow(sc *paper.Scene, r paper.Rect) {
	const angle = 50
	mid := r.Centre()
	tip, tail := shape.At(mid, 0.42*r.H, angle), shape.At(mid, 0.38*r.H, angle+180)
	sc.Line(tail.X, tail.Y, mid.X, mid.Y, 1.6, black)
	for _, lean := range []float64{-chart.HalfAngle, chart.HalfAngle} {
		end := shape.At(tip, 0.45*r.H, angle+180+lean)
		sc.Line(tip.X, tip.Y, end.X, end.Y, 1.6, black)
	}
}

func thumbBlocks(sc *paper.Scene, r paper.Rect) {
	mid, long, step := r.Centre(), 0.36*r.H, 0.28*r.H
	for i := -1.0; i <= 1; i++ {
		x, y := mid.X-0.24*r.W+i*step, mid.Y+i*step
		sc.Line(x, mid.Y-long, x, mid.Y+long, step/2, black)
		sc.Line(mid.X+0.24*r.W-long, y, mid.X+0.24*r.W+long, y, step/2, black)
	}
}

func thumbLetters(sc *paper.Scene, r paper.Rect, one bool) {
	row := func(text string, size, foot float64) {
		size *= r.H
		x := r.Centre().X - paper.Width(text, size, paper.Bold)/2
		sc.Text(x, r.Y+foot*r.H, size, paper.Bold, text, black)
	}
	if one {
		row("H", 0.9, 0.84)
		return
	}
	row("H N", 0.5, 0.48)
	row("V Z C K", 0.3, 0.86)
}

func thumbColours(sc *paper.Scene, r paper.Rect) {
	left, right := r.CutLeft(r.W / 2)
	sc.Box(left, 0, color.NRGBA{0xC8, 0x32, 0x1E, 255})
	sc.Box(right, 0, color.NRGBA{0x2E, 0x8B, 0x3A, 255})
	for _, half := range []paper.Rect{left, right} {
		shape.Circle(sc, half.Centre(), 0.26*r.H, 1.6, black)
	}
}
