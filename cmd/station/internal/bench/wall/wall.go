// Package wall draws what hangs on the wall: the chart, the curtain across it
// with the patient's view behind, and what there is to do with charts.
package wall

import (
	"fmt"
	"image/color"
	"math"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
)

// View is what is to be drawn.
type View struct {
	Name    chart.Name // NoChart: nothing hangs there
	Chart   chart.Drawing
	Window  sight.Window
	Pointer int            // label that the arrow points at, as it is being turned
	Stands  int            // label that it was left at
	Size    float64        // logMAR of the single letter
	Held    *wish.Turning  // the arrow, when it is in the hand
	Sight   bool           // the patient's view can be had
	Curtain float64        // share of the wall that shows the chart as it hangs
	Seen    *sight.Picture // nil: it is not in view
	Scale   Scale
	Narrow  bool
	Pale    bool // it is on its way
}

// Draw draws the chart and what there is to do with charts.
func Draw(u *ui.UI, v voice.Voice, c *ui.Column, w View, side float64, out *wish.List) {
	r := c.Block(min(side, c.W))
	r.W = r.H
	Chart(u, v, r, w, out)
	c.Gap(8)
	Tools(u, v, c, w, r.W, out)
}

// Chart draws what hangs on the wall, the curtain across it, and lets the arrow
// be turned.
func Chart(u *ui.UI, v voice.Voice, r paper.Rect, w View, out *wish.List) {
	if w.Name == chart.NoChart {
		u.Scene().Box(r, 0, u.Theme.Sheet)
		u.Scene().Frame(r, 0, 1, u.Theme.Edge)
		text := v.Text("bench.wall.none")
		h := u.ParaHeight(text, r.W-48, ui.Quiet)
		u.Para(r.X+24, r.Y+(r.H-h)/2, r.W-48, text, ui.Quiet)
		return
	}
	edge := r.X + math.Round(r.W*w.Curtain)
	u.Clip(paper.Rect{X: r.X, Y: r.Y, W: edge - r.X, H: r.H})
	hung(u.Scene(), w, r)
	u.Unclip()
	if edge < r.Right() && w.Seen != nil {
		u.Clip(paper.Rect{X: edge, Y: r.Y, W: r.Right() - edge, H: r.H})
		seen(u, v, *w.Seen, r)
		u.Unclip()
	}
	if w.Pale {
		u.Scene().Box(r, 0, shape.Paler(shape.White()))
	}
	u.Scene().Frame(r, 0, 1, u.Theme.Edge)
	taken := curtain(u, v, w, r, edge, out)
	if w.points() {
		if w.reading(u, v, r.W) {
			foot := drawReading(u, v, w, r, out)
			taken = taken || foot.Contains(u.Input().Pointer)
		}
		turn(u, v, w, r, taken, out)
	}
}

// points reports whether an arrow hangs there, or a chart that turns with it.
func (w View) points() bool { return chart.Named(w.Name).Pointed }

// hung draws a chart as it hangs.
func hung(scene *paper.Scene, w View, r paper.Rect) {
	if len(w.Chart.Layers) > 1 {
		scene.Picture(r, lit()[w.Name], 1)
		return
	}
	scene.Box(r, 0, shape.White())
	k, mid := r.W/w.Window.Side, r.Centre()
	var path paper.Path
	for _, s := range render.WithLabels(w.Chart).Layers[0].Shapes {
		path.Reset()
		for _, part := range s.Paths {
			for i, p := range part {
				x, y := mid.X+k*(p.X-w.Window.Mid.X), mid.Y-k*(p.Y-w.Window.Mid.Y)
				if i == 0 {
					path.MoveTo(x, y)
				} else {
					path.LineTo(x, y)
				}
			}
			path.Close()
		}
		scene.Fill(&path, color.NRGBA{A: 255})
	}
}

// seen draws the chart as the patient sees it.
func seen(u *ui.UI, v voice.Voice, p sight.Picture, r paper.Rect) {
	switch p.State {
	case sight.Seen:
		u.Scene().Picture(r, p.Image, p.Version)
	case sight.Blurred:
		u.Scene().Box(r, 0, color.NRGBA{0xD8, 0xD8, 0xD8, 255})
		over(u, r, v.Text("bench.view.blurred"), color.NRGBA{A: 255})
	case sight.Dark:
		u.Scene().Box(r, 0, color.NRGBA{0x18, 0x18, 0x18, 255})
		over(u, r, v.Text("bench.view.dark"), shape.White())
	}
}

// over writes in the middle of a picture's right half.
func over(u *ui.UI, r paper.Rect, text string, c color.NRGBA) {
	lines := u.Wrap(text, r.W*0.4, ui.Body)
	lh := u.LineHeight(ui.Body)
	for i, l := range lines {
		w := u.Width(l, ui.Body)
		u.Scene().Text(r.Right()-r.W/4-w/2, r.Centre().Y+(float64(i)-float64(len(lines)-1)/2)*lh, 16*u.Text, paper.Regular, l, c)
	}
}

// curtain lets the curtain be drawn by its edge; it reports whether that has
// the pointer.
func curtain(u *ui.UI, v voice.Voice, w View, r paper.Rect, edge float64, out *wish.List) bool {
	if w.Curtain >= 1 || w.Curtain <= 0 {
		return false
	}
	u.Scene().Box(paper.Rect{X: edge - 1, Y: r.Y, W: 2, H: r.H}, 0, u.Theme.Act)
	knob := paper.Rect{X: edge - 8, Y: r.Y + r.H/2 - 24, W: 16, H: 48}
	u.Scene().Box(knob, 8, u.Theme.Act)
	u.Scene().Frame(knob, 8, 1, u.Theme.OnAct)
	g := u.Grip("curtain", v.Text("bench.wall.curtain"), fmt.Sprintf("%.0f %%", 100*w.Curtain), knob, nil)
	within := func(share float64) float64 { return min(max(share, 0.02), 0.98) }
	switch {
	case g.Held:
		out.Add(wish.Curtain{To: within((g.At.X - r.X) / r.W)})
	case g.Freed:
		out.Add(wish.Curtain{To: w.Curtain, Keep: true})
	case g.Turn != 0:
		out.Add(wish.Curtain{To: within(w.Curtain + float64(g.Turn)/100), Keep: true})
	}
	u.Ring("curtain", knob)
	return g.Over || g.Held
}

// turn lets the arrow, and with it the blocks, be turned, unless another part
// has the pointer.
func turn(u *ui.UI, v voice.Voice, w View, r paper.Rect, taken bool, out *wish.List) {
	g := u.Grip("arrow", v.Text("bench.wall.pointer"), fmt.Sprint(w.Pointer), r, func(paper.Point) bool { return !taken })
	// The angle in the patient's view, which is how the wall is drawn.
	angle := shape.Degrees(r.Centre(), g.At)
	switch {
	case g.Taken:
		out.Add(wish.Hold{Turning: wish.Turning{Arrow: true, Grab: chart.AngleOf(float64(w.Pointer)) - angle, To: w.Pointer}})
	case g.Freed && w.Held != nil:
		out.Add(wish.Release{})
	case g.Held && w.Held != nil:
		held := *w.Held
		held.To = shape.Whole(chart.LabelOf(angle + held.Grab))
		out.Add(wish.Hold{Turning: held})
	case g.Turn != 0:
		out.Add(wish.Point(shape.Folded(w.Pointer + g.Turn)))
	}
	u.Ring("arrow", r)
}

// reading reports whether the arrow's reading has room at the foot of a chart
// of a width, which is empty there: the arrow points up.
func (w View) reading(u *ui.UI, v voice.Voice, width float64) bool {
	return !w.Narrow && width > u.Width(v.Text("bench.wall.arrow", "axis", fact.Degrees(180)), ui.Strong)+4*56*u.Text+24
}

// drawReading writes the arrow's reading at the foot of the chart, and gives
// the place that it takes.
func drawReading(u *ui.UI, v voice.Voice, w View, r paper.Rect, out *wish.List) paper.Rect {
	foot := paper.Rect{X: r.X + 1, Y: r.Bottom() - u.RowHeight() - 13, W: r.W - 2, H: u.RowHeight() + 12}
	u.Scene().Box(foot, 0, u.Theme.Sheet)
	arrowTools(u.Flow(foot.X+10, foot.Y+6, foot.W-20), v, w, out)
	return foot
}

// arrowTools are the arrow's reading and the buttons that turn it.
func arrowTools(f *ui.Flow, v voice.Voice, w View, out *wish.List) {
	f.Text(v.Text("bench.wall.arrow", "axis", fact.Degrees(w.Pointer)), ui.Strong)
	for _, by := range []int{-5, -1, 1, 5} {
		turn := fact.Turn(by)
		if f.Sign(true, fmt.Sprintf("arrow %+d", by), v.Value(turn), v.Text("bench.wall.turn", "turn", turn), ui.Plain) {
			out.Add(wish.Point(shape.Folded(w.Stands + by)))
		}
	}
}
