package result

import (
	"image/color"
	"strconv"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// draw draws the panel of the path.
func (w *way) draw(u *ui.UI) {
	t, sc := u.Theme, u.Scene()
	leaf(u, w.panel)
	sc.Box(w.band, 0, t.Touch)
	for _, y := range []float64{w.band.Y, w.band.Bottom() - 1} {
		sc.Box(paper.Rect{X: w.band.X, Y: y, W: w.band.W, H: 1}, 0, t.Edge)
	}
	sc.Box(paper.Rect{X: w.plot.X, Y: w.retina - 1, W: w.plot.W, H: 2}, 0, t.Ink)
	for _, p := range w.front {
		sc.Line(p.X, w.retina-3, p.X, w.retina+3, 1, t.Ink)
	}
	trace(sc, w.back, t.Amber)
	trace(sc, w.front, t.Blue)
	for _, b := range w.buoys {
		sc.Line(b.at.X, b.at.Y, b.foot.X, b.foot.Y, 1.5, t.Warn)
	}
	for _, b := range w.buoys {
		drawBuoy(u, b.at, radius(u), b.rank)
	}
	for _, n := range w.names {
		u.Coloured(n.r, n.text, n.style, n.align, n.tone.colour(t))
		w.drawSign(u, n)
	}
}

// trace draws a focal line from step to step.
func trace(sc *paper.Scene, points []paper.Point, c color.NRGBA) {
	if len(points) == 1 {
		shape.Disc(sc, points[0], 3, c)
		return
	}
	var p paper.Path
	for i, q := range points {
		if i == 0 {
			p.MoveTo(q.X, q.Y)
			continue
		}
		p.LineTo(q.X, q.Y)
	}
	sc.Stroke(&p, 3, c)
}

// drawBuoy draws a disc with the rank of a mistake.
func drawBuoy(u *ui.UI, at paper.Point, r float64, rank int) {
	shape.Disc(u.Scene(), at, r, u.Theme.Warn)
	size := 1.15 * r
	text := strconv.Itoa(rank)
	x := at.X - paper.Width(text, size, paper.Bold)/2
	u.Scene().Text(x, at.Y+paper.CapHeight(size, paper.Bold)/2, size, paper.Bold, text, u.Theme.Sheet)
}

// drawSign draws what a name of the legend explains.
func (w *way) drawSign(u *ui.UI, n name) {
	t, r := u.Theme, radius(u)
	at := paper.Point{X: n.r.X - between - r, Y: n.r.Centre().Y}
	switch n.sign {
	case bandSign:
		box := paper.Rect{X: at.X - r, Y: at.Y - 6, W: 2 * r, H: 12}
		u.Scene().Box(box, 0, t.Touch)
		u.Scene().Frame(box, 0, 1, t.Edge)
	case retinaSign:
		u.Scene().Box(paper.Rect{X: at.X - r, Y: at.Y - 1, W: 2 * r, H: 2}, 0, t.Ink)
	case buoySign:
		drawBuoy(u, at, min(r, n.r.H/2), n.rank)
	}
}

// leaf draws a sheet of paper with its shadow.
func leaf(u *ui.UI, r paper.Rect) {
	t, sc := u.Theme, u.Scene()
	sc.Box(paper.Rect{X: r.X + 2, Y: r.Y + 3, W: r.W, H: r.H}, 10, t.Shade)
	sc.Box(r, 10, t.Sheet)
	sc.Frame(r, 10, 1, t.Edge)
}
