package conoid

import (
	"image/color"
	"math"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render"
	"conoid/sim/fact"
)

const radian = math.Pi / 180

// vergence is a place as its name has it: a minus behind the retina, else no sign.
func vergence(d float64) any {
	if math.Round(d*100) < 0 {
		return fact.Power(d)
	}
	return fact.Amount(d)
}

// plate writes a name on a plate of the ground, on which nothing else shows.
func (c *chamber) plate(r paper.Rect, text string, s ui.Style, col color.NRGBA) {
	c.u.Scene().Box(r, 3, c.t.Ground)
	ui.Tinted(c.u, r, text, s, col, ui.Middle)
	c.names = append(c.names, r)
}

// sized is a plate for a name, at the left end of a row of names that are counted
// from below.
func (c *chamber) sized(text string, s ui.Style, row float64) paper.Rect {
	h := c.lh + 1
	return paper.Rect{X: c.light.X, Y: c.light.Bottom() - 11 - h - row*(h+1), W: c.u.Width(text, s) + 8, H: h}
}

// called writes the names of what is drawn.
func (c *chamber) called() {
	if c.Point() {
		text := c.fitting(c.light.W-8, ui.SmallBold, c.v.Text("bench.conoid.met", "place", vergence(c.Residual.M)), c.v.Text("bench.conoid.met.few"))
		c.plate(c.beside(c.sized(text, ui.SmallBold, 0), c.Residual.M), text, ui.SmallBold, c.t.Ink)
		return
	}
	front := c.v.Text("bench.conoid.front", "place", vergence(c.Front.Power))
	back := c.v.Text("bench.conoid.back", "place", vergence(c.Back.Power))
	f := c.beside(c.sized(front, ui.SmallBold, 0), c.Front.Power)
	b := c.beside(c.sized(back, ui.SmallBold, 0), c.Back.Power)
	if f.Inset(-3).Overlaps(b) { // the front line's a row higher
		f.Y = c.sized(front, ui.SmallBold, 1).Y
	}
	c.plate(f, front, ui.SmallBold, c.t.Blue)
	c.plate(b, back, ui.SmallBold, c.t.Amber)
	c.leastConfusion()
}

// fitting is the first of several texts that fits a width, or the last.
func (c *chamber) fitting(width float64, s ui.Style, texts ...string) string {
	for _, t := range texts {
		if c.u.Width(t, s) <= width {
			return t
		}
	}
	return texts[len(texts)-1]
}

// beside puts a plate below a place of the axis, on the same side of the retina.
func (c *chamber) beside(r paper.Rect, d float64) paper.Rect {
	const clear = 9
	r.X = c.X(d) - r.W/2
	switch retina := c.X(0); {
	case d >= 0:
		r.X = min(r.X, retina-clear-r.W)
	default:
		r.X = max(r.X, retina+clear)
	}
	r.X = max(min(r.X, c.light.Right()-r.W), c.light.X)
	return r
}

// leastConfusion names the circle, where there is room beside it.
func (c *chamber) leastConfusion() {
	for _, id := range []string{"bench.conoid.least", "bench.conoid.least.few"} {
		text := c.v.Text(id)
		r := c.sized(text, ui.Small, 0)
		below, above := c.Mid+c.Least()+5, c.Mid-c.Least()-5-r.H
		for _, y := range []float64{below, above} {
			for _, x := range []float64{c.X(c.Residual.M) - r.W/2, c.X(c.Back.Power) - 10 - r.W, c.X(c.Front.Power) + 10} {
				r.X, r.Y = x, y
				if c.free(r) {
					c.plate(r, text, ui.Small, c.t.Ink)
					return
				}
			}
		}
	}
}

// free reports whether a plate covers no other, and neither line nor retina.
func (c *chamber) free(r paper.Rect) bool {
	if r.X < c.light.X || r.Right() > c.light.Right() || r.Y < c.light.Y || r.Bottom() > c.light.Bottom()-10 {
		return false
	}
	for _, n := range c.names {
		if n.Overlaps(r.Inset(-2)) {
			return false
		}
	}
	if x := c.X(0); r.X < x+6 && x-8 < r.Right() {
		return false
	}
	from, to := c.Stroke(c.Front)
	from2, to2 := c.Stroke(c.Back)
	for _, l := range [][2][2]float64{{from, to}, {from2, to2}} {
		for share := 0.0; share <= 1; share += 0.05 {
			p := paper.Point{X: l[0][0] + share*(l[1][0]-l[0][0]), Y: l[0][1] + share*(l[1][1]-l[0][1])}
			if r.Inset(-5).Contains(p) {
				return false
			}
		}
	}
	return true
}

// interval is the bracket above the lines, with the interval of Sturm.
func (c *chamber) interval() {
	sc := c.u.Scene()
	from, to, y := max(c.X(c.Front.Power), c.light.X), min(c.X(c.Back.Power), c.light.Right()), c.light.Y-c.lh*0.35-6
	sc.Line(from, y, to, y, 1.5, c.t.Ink)
	for _, x := range []float64{from, to} {
		sc.Line(x, y-5, x, y+6, 1.5, c.t.Ink)
	}
	amount := fact.Amount(c.Interval())
	text := c.fitting(to-from-26, ui.Small, c.v.Text("bench.conoid.interval", "power", amount),
		c.v.Text("bench.conoid.interval.few", "power", amount), c.v.Text("bench.conoid.dioptres", "power", amount))
	if w := c.u.Width(text, ui.Small) + 12; w+14 <= to-from {
		c.plate(paper.Rect{X: (from+to)/2 - w/2, Y: y - c.lh/2, W: w, H: c.lh}, text, ui.Small, c.t.Ink)
		return
	}
	w := c.u.Width(text, ui.Small) + 4 // beside it, on the side that has room
	x := from - 6 - w
	if x < c.all.X+4 {
		x = to + 6
	}
	c.plate(paper.Rect{X: x, Y: y - c.lh/2, W: w, H: c.lh}, text, ui.Small, c.t.Ink)
}

// heading says whose conoid it is and how the lines lie, where there is room, and
// always that the patient accommodates.
func (c *chamber) heading() {
	if c.w.Eye == "" {
		return
	}
	row := paper.Rect{X: c.all.X + 16, Y: c.all.Y + 6, W: c.all.W - 32, H: c.lh}
	var notes []string
	if focus := fact.Amount(c.w.Accommodation); c.w.Accommodation > render.Stigmatic {
		notes = []string{c.v.Text("bench.conoid.focus", "power", focus), c.v.Text("bench.conoid.focus.few", "power", focus)}
	} else if c.large {
		notes = []string{state(c.v, c.w.Residual)}
	}
	if c.large {
		row.H = c.u.LineHeight(ui.Strong)
		title := c.v.Text("bench.conoid.head", "eye", c.v.Text("eye."+string(c.w.Eye)))
		ui.Tinted(c.u, row, title, ui.Strong, c.t.Ink, ui.Start)
		taken := c.u.Width(title, ui.Strong) + 18
		if c.u.Width(notes[0], ui.Small)+taken <= row.W {
			_, row = row.CutLeft(taken)
		} else { // a line lower
			row.Y, row.H = row.Bottom(), c.lh
		}
	}
	if len(notes) > 0 {
		ui.Tinted(c.u, row, c.fitting(row.W, ui.Small, notes...), ui.Small, c.t.Quiet, ui.Start)
	}
}
