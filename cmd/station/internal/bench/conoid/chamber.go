package conoid

import (
	"image/color"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// chamber is the chamber while it is drawn.
type chamber struct {
	render.Strip
	u *ui.UI
	v voice.Voice
	w View
	t ui.Chamber

	all   paper.Rect // the chamber
	light paper.Rect // where the light is drawn; the ruler is its lower edge
	patch paper.Rect // where one point is shown; empty: it is not

	beneath paper.Rect // the name of the patch
	lh      float64    // height of a line of small text
	large   bool       // there is room for a heading
	names   []paper.Rect
}

// lay places the parts of a chamber.
func lay(u *ui.UI, v voice.Voice, r paper.Rect, w View) *chamber {
	c := &chamber{u: u, v: v, w: w, t: u.Theme.Chamber, all: r, lh: u.LineHeight(ui.Small)}
	c.large = r.H > 230*u.Text && r.W > 420*u.Text
	head := c.lh*0.7 + 12 // of the interval
	switch {
	case w.Eye != "" && c.large:
		head += u.LineHeight(ui.Strong) + c.lh
	case w.Accommodation > render.Stigmatic:
		head += c.lh
	}
	_, in := r.CutTop(head)
	c.light, _ = in.CutTop(in.H - c.lh - 6)
	_, c.light = c.light.CutLeft(16)
	right := 18.0
	few := u.Width(v.Text("bench.conoid.patch.few"), ui.Small) + 4
	if !w.Grips && r.W-few > 200*u.Text {
		side := min(r.H-c.lh-26, max(0.3*r.W, 92))
		wide := max(side, few) // its name stands below
		c.patch = paper.Rect{X: r.Right() - 12 - (wide+side)/2, Y: r.Y + (r.H-side-c.lh)/2, W: side, H: side}
		if w.Eye != "" && c.large {
			c.patch.Y += head / 3
		}
		c.beneath = paper.Rect{X: r.Right() - 12 - wide, Y: c.patch.Bottom() + 2, W: wide, H: c.lh}
		right = wide + 28
	}
	c.light, _ = c.light.CutLeft(c.light.W - right)
	c.Strip = render.NewStrip(w.Residual, render.Box{
		Left: c.light.X, Right: c.light.Right(), Top: c.light.Y, Bottom: c.light.Bottom() - c.lh, // the names stand below
		Most: c.patch.H / 2, Reach: w.Reach, Behind: w.Behind,
	})
	return c
}

// draw draws everything, from what lies behind to what lies in front.
func (c *chamber) draw() {
	sc := c.u.Scene()
	sc.Box(c.all, 10, c.t.Ground)
	c.ruler()
	c.bundles()
	shape.Dashed(sc, paper.Point{X: c.light.X, Y: c.Mid}, paper.Point{X: c.light.Right(), Y: c.Mid}, c.t.Rule)
	if !c.Point() {
		c.sections()
	}
	c.retina()
	if c.Point() {
		c.dot(c.Residual.M, c.t.Ink)
	} else {
		c.line(c.Front, c.t.Blue)
		c.line(c.Back, c.t.Amber)
		c.interval()
	}
	c.called()
	c.onePoint()
	c.heading()
}

// at is a place on the axis.
func (c *chamber) at(d float64) paper.Point { return paper.Point{X: c.X(d), Y: c.Mid} }

// glazed is a colour that what lies behind shines through.
func glazed(c color.NRGBA) color.NRGBA { return color.NRGBA{c.R, c.G, c.B, 51} }

// bundles are the light of both meridians.
func (c *chamber) bundles() {
	sc := c.u.Scene()
	sc.Clip(c.light)
	defer sc.Unclip()
	for _, b := range []struct {
		line optics.FocalLine
		col  color.NRGBA
	}{{c.Back, c.t.Amber}, {c.Front, c.t.Blue}} {
		above, below := c.Edges(b.line)
		var inside paper.Path
		inside.MoveTo(above[0][0], above[0][1])
		for _, p := range [][2]float64{above[1], below[2], above[2], below[1], below[0]} {
			inside.LineTo(p[0], p[1])
		}
		sc.Fill(&inside, glazed(b.col))
		for _, e := range [][3][2]float64{above, below} {
			var edge paper.Path
			edge.MoveTo(e[0][0], e[0][1])
			edge.LineTo(e[2][0], e[2][1])
			sc.Stroke(&edge, 1.5, b.col)
		}
	}
}

// sections are the light of one point between the lines: two ellipses, and the circle
// of least confusion.
func (c *chamber) sections() {
	sc := c.u.Scene()
	for _, share := range []float64{0.25, 0.75} {
		p := c.section(c.Front.Power-share*c.Interval(), c.at(c.Front.Power-share*c.Interval()), 0)
		sc.Stroke(&p, 1, c.t.Quiet)
	}
	p := c.section(c.Residual.M, c.at(c.Residual.M), 0)
	sc.Fill(&p, color.NRGBA{c.t.Ink.R, c.t.Ink.G, c.t.Ink.B, 31})
	sc.Stroke(&p, 2, c.t.Ink)
}

// section is what the light of one point is at a vergence, drawn about a place, and
// nowhere thinner than it can be seen.
func (c *chamber) section(at float64, about paper.Point, least float64) (p paper.Path) {
	front, back := c.Section(at)
	p.Ellipse(about, max(front, least), max(back, least), render.Runs(c.Front)*radian)
	return p
}

// knob is the radius of what a line is taken by.
const knob = 11

// line is a focal line, with a rim that parts it from the light.
func (c *chamber) line(l optics.FocalLine, col color.NRGBA) {
	sc := c.u.Scene()
	from, to := c.Stroke(l)
	p, q := paper.Point{X: from[0], Y: from[1]}, paper.Point{X: to[0], Y: to[1]}
	if c.w.Grips {
		shape.Disc(sc, c.at(l.Power), knob+3, c.t.Ground)
		shape.Circle(sc, c.at(l.Power), knob, 4, col)
	}
	shape.Stick(sc, p, q, 9, c.t.Ground)
	shape.Stick(sc, p, q, 5, col)
	sc.Line(c.X(l.Power), c.light.Bottom()-9, c.X(l.Power), c.light.Bottom()+1, 3, col)
}

// dot is where both lines have met.
func (c *chamber) dot(d float64, col color.NRGBA) {
	sc := c.u.Scene()
	if c.w.Grips { // both are still to be taken
		shape.Disc(sc, c.at(d), knob+3, c.t.Ground)
		shape.Circle(sc, c.at(d), knob, 3, c.t.Blue)
		shape.Circle(sc, c.at(d), knob-4, 3, c.t.Amber)
	} else {
		shape.Disc(sc, c.at(d), 7, c.t.Ground)
	}
	shape.Disc(sc, c.at(d), 5, col)
	sc.Line(c.X(d), c.light.Bottom()-9, c.X(d), c.light.Bottom()+1, 3, col)
}

// retina is bent, and stands at 0.
func (c *chamber) retina() {
	var p paper.Path
	p.MoveTo(c.X(0)-6, c.light.Y-6)
	p.QuadTo(c.X(0)+6, c.Mid, c.X(0)-6, c.light.Bottom())
	c.u.Scene().Stroke(&p, 4, c.t.Ink)
}

// ruler is the scale in dioptres, with the names below it.
func (c *chamber) ruler() {
	sc, foot := c.u.Scene(), c.light.Bottom()
	sc.Line(c.light.X, foot, c.light.Right(), foot, 1, c.t.Quiet)
	row := paper.Rect{Y: foot + 1, H: c.lh}
	write := func(x float64, text string, s ui.Style, col color.NRGBA) {
		row.W = c.u.Width(text, s) + 2
		row.X = min(max(x-row.W/2, c.all.X+2), c.all.Right()-row.W-2)
		ui.Tinted(c.u, row, text, s, col, ui.Middle)
	}
	for _, t := range c.Ticks(52 * c.u.Text) {
		x := c.X(t.Power)
		sc.Line(x, foot-3-2.5*float64(t.Size), x, foot, 1, c.t.Quiet)
		if t.Named {
			write(x, c.figure(t), ui.Small, c.t.Quiet)
		}
	}
	write(c.X(0), c.v.Text("bench.conoid.retina"), ui.SmallBold, c.t.Ink)
}

// figure is what stands at a mark of the ruler.
func (c *chamber) figure(t render.Tick) string {
	if t.Size == 2 {
		return c.v.Text("bench.conoid.tick", "power", fact.Turn(t.Power))
	}
	return c.v.Value(fact.Power(t.Power))
}

// night is behind the patch: a point of light in the dark.
var night = color.NRGBA{8, 13, 19, 255}

// onePoint is the patch that one point becomes on the retina, to the same scale.
func (c *chamber) onePoint() {
	if c.patch.Empty() {
		return
	}
	sc := c.u.Scene()
	sc.Line(c.X(0)+4, c.Mid, c.patch.X, c.patch.Centre().Y, 1, c.t.Quiet)
	sc.Box(c.patch, 6, night)
	sc.Frame(c.patch, 6, 1, c.t.Quiet)
	p := c.section(0, c.patch.Centre(), 1.5)
	sc.Fill(&p, color.NRGBA{c.t.Ink.R, c.t.Ink.G, c.t.Ink.B, 87})
	sc.Stroke(&p, 1.5, c.t.Ink)
	name := c.fitting(c.beneath.W, ui.Small, c.v.Text("bench.conoid.patch"), c.v.Text("bench.conoid.patch.few"))
	ui.Tinted(c.u, c.beneath, name, ui.Small, c.t.Quiet, ui.Middle)
}
