package bench

import (
	"fmt"
	"image/color"
	"math"

	"conoid/cmd/internal/words"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render"
	"conoid/sim/chart"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// drawWall draws the chart and what there is to do with charts.
func (a *App) drawWall(c *ui.Column, side float64) {
	r := c.Block(min(side, c.W))
	r.W = r.H
	a.drawChart(r)
	c.Gap(8)
	a.wallTools(c)
}

// wallTools are the charts to choose from, and the arrow.
func (a *App) wallTools(c *ui.Column) {
	st := a.seat.s.State()
	a.curtainTools(c, st)
	a.chartTools(c, st)
	a.chartTiles(c, st)
}

// tileHeight is the height of a chart's button: a picture with its name below,
// or the name alone.
func (a *App) tileHeight() float64 {
	if !a.pictured() {
		return a.ui.LineHeight(ui.Small) + 12
	}
	return thumbSize + a.ui.LineHeight(ui.Small) + 12
}

// pictured tells whether there is room for pictures on the charts' buttons.
func (a *App) pictured() bool { return a.ui.Window().H/a.ui.Text >= 700 }

// tiles is the number of charts in a row.
func (a *App) tiles(w float64) int {
	widest := 0.0
	for _, name := range words.Charts {
		widest = max(widest, a.ui.Width(a.l("chart."+string(name)), ui.SmallBold))
	}
	for rows := 1; ; rows++ {
		n := (len(words.Charts) + rows - 1) / rows
		if n == 1 || (w-6*float64(n-1))/float64(n) >= widest+6 {
			return n
		}
	}
}

// chartTiles are the charts to choose from, as small pictures with names.
func (a *App) chartTiles(c *ui.Column, st sitting.State) {
	n := a.tiles(c.W)
	wide := (c.W - 6*float64(n-1)) / float64(n)
	for i, name := range words.Charts {
		look, style := ui.Plain, ui.Small
		if st.Chart == name {
			look, style = ui.Selected, ui.SmallBold
		}
		label := a.l("chart." + string(name))
		r := paper.Rect{
			X: c.X + float64(i%n)*(wide+6), Y: c.Y + float64(i/n)*(a.tileHeight()+6),
			W: wide, H: a.tileHeight(),
		}
		if a.ui.Sign(true, "show "+string(name), r, "", label, look) {
			a.command("show " + string(name))
		}
		if a.pictured() {
			a.drawThumb(name, paper.Rect{X: r.X + (r.W-thumbSize)/2, Y: r.Y + 4, W: thumbSize, H: thumbSize})
		}
		lh := a.ui.LineHeight(ui.Small)
		a.ui.Words(paper.Rect{X: r.X + 2, Y: r.Bottom() - lh - 6, W: r.W - 4, H: lh}, label, style, ui.Middle)
	}
	c.Gap(math.Ceil(float64(len(words.Charts))/float64(n)) * (a.tileHeight() + 6))
}

// toolsHeight is about how high the tools below a wall of a width are.
func (a *App) toolsHeight(w float64) float64 {
	rows := math.Ceil(float64(len(words.Charts)) / float64(a.tiles(w)))
	return rows*(a.tileHeight()+6) + a.ui.RowHeight() + 8 + a.ui.LineHeight(ui.Note) + 28
}

// curtainTools draw the curtain, and say which side is which.
func (a *App) curtainTools(c *ui.Column, st sitting.State) {
	if !a.practice() {
		if st.Chart != sitting.NoChart {
			c.Para(a.scaleText(st), ui.Note)
			c.Gap(6)
		}
		return
	}
	at := 1
	switch {
	case a.set.Curtain >= 1:
		at = 0
	case a.set.Curtain <= 0:
		at = 2
	}
	to := c.Choice("curtain", []string{a.l("wall.hung"), a.l("wall.both"), a.l("wall.seen")}, at)
	if to != at {
		a.set.Curtain = []float64{1, 0.5, 0}[to]
		a.keep()
	}
	if st.Chart != sitting.NoChart {
		c.Para(a.scaleText(st), ui.Note)
		c.Gap(6)
	}
}

// drawn is how much of the wall shows the chart as it hangs: all of it in a
// practical.
func (a *App) drawn() float64 {
	if !a.practice() {
		return 1
	}
	return a.set.Curtain
}

func (a *App) toggleCurtain() {
	a.set.Curtain = map[bool]float64{true: 0, false: 1}[a.set.Curtain >= 1]
	a.keep()
}

// chartTools turn the arrow, or change the size of the letter.
func (a *App) chartTools(c *ui.Column, st sitting.State) {
	switch st.Chart {
	case sitting.Arrow, sitting.Blocks:
		if !a.onTheWall() {
			c.Flow(func(f *ui.Flow) { a.arrowTools(f, st) })
		}
	case sitting.Letter:
		if by := c.Stepper("letter size", a.l("wall.letter"), patient.FormatAcuity(st.Size)); by != 0 {
			size := math.Round(10*st.Size)/10 + 0.1*float64(by)
			a.perform(sitting.Action{Do: sitting.Show, Chart: sitting.Letter, Size: &size})
		}
	}
}

// arrowTools are the arrow's reading and the buttons that turn it.
func (a *App) arrowTools(f *ui.Flow, st sitting.State) {
	f.Text(a.l("wall.arrow", a.pointer0(st)), ui.Strong)
	for _, by := range []int{-5, -1, 1, 5} {
		sign := fmt.Sprintf("%+d", by)
		if f.Sign(true, "arrow "+sign, trueMinus(sign), a.l("wall.turn", trueMinus(sign)), ui.Plain) {
			a.command("arrow " + sign)
		}
	}
}

// onTheWall tells whether the arrow's reading has room at the foot of the
// chart, which is empty there: the arrow points up.
func (a *App) onTheWall() bool {
	return !a.narrow() && a.wallSide > a.ui.Width(a.l("wall.arrow", 180), ui.Strong)+4*56*a.ui.Text+24
}

// drawReading writes the arrow's reading at the foot of the chart, and gives
// the place that it takes.
func (a *App) drawReading(r paper.Rect, st sitting.State) paper.Rect {
	u := a.ui
	foot := paper.Rect{X: r.X + 1, Y: r.Bottom() - u.RowHeight() - 13, W: r.W - 2, H: u.RowHeight() + 12}
	u.Scene().Box(foot, 0, u.Theme.Sheet)
	a.arrowTools(u.Flow(foot.X+10, foot.Y+6, foot.W-20), st)
	return foot
}

// pointer0 is where the arrow points: as it is being dragged.
func (a *App) pointer0(st sitting.State) int {
	if t := a.seat.turn; t != nil && t.arrow {
		return t.to
	}
	return st.Pointer
}

// white is the wall's paper by day and by night: a chart is lit.
var white = color.NRGBA{255, 255, 255, 255}

// drawChart draws what hangs on the wall, the curtain across it, and lets the
// arrow be turned.
func (a *App) drawChart(r paper.Rect) {
	u := a.ui
	a.wallSide = r.W
	st := a.seat.s.State()
	st.Pointer = a.pointer0(st)
	c, shown := st.Wall(a.seat.s.Setup().Room.Labels)
	if !shown {
		u.Scene().Box(r, 0, u.Theme.Sheet)
		u.Scene().Frame(r, 0, 1, u.Theme.Edge)
		text := a.l("wall.none")
		h := u.ParaHeight(text, r.W-48, ui.Quiet)
		u.Para(r.X+24, r.Y+(r.H-h)/2, r.W-48, text, ui.Quiet)
		return
	}
	win := windowOf(st, c)
	edge := r.X + math.Round(r.W*a.drawn())
	u.Clip(paper.Rect{X: r.X, Y: r.Y, W: edge - r.X, H: r.H})
	a.drawHung(c, r, win)
	u.Unclip()
	if edge < r.Right() {
		u.Clip(paper.Rect{X: edge, Y: r.Y, W: r.Right() - edge, H: r.H})
		a.drawSeen(c, st, r, win)
		u.Unclip()
	}
	u.Scene().Frame(r, 0, 1, u.Theme.Edge)
	grip := a.curtain(r, edge)
	if st.Chart == sitting.Arrow || st.Chart == sitting.Blocks {
		if a.onTheWall() {
			foot := a.drawReading(r, st)
			grip = grip || foot.Contains(u.Input().Pointer)
		}
		a.turnArrow(r, st, grip)
	}
}

// window is the square of the chart's plane that the wall shows, in minutes of
// arc.
type window struct {
	mid  chart.Point
	side float64
}

// windowOf is the square that holds a chart. The arrow and the blocks turn
// about its middle.
func windowOf(st sitting.State, c chart.Chart) window {
	const room = 1.04
	if st.Chart == sitting.Arrow || st.Chart == sitting.Blocks {
		return window{side: 2 * c.Radius * room}
	}
	left, right, low, high := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	take := func(x, y, dx, dy float64) {
		left, right = min(left, x-dx), max(right, x+dx)
		low, high = min(low, y-dy), max(high, y+dy)
	}
	for _, l := range c.Layers {
		for _, s := range l.Shapes {
			for _, path := range s.Paths {
				for _, p := range path {
					take(p.X, p.Y, 0, 0)
				}
			}
		}
	}
	for _, l := range c.Labels {
		take(l.At.X, l.At.Y, l.Size, l.Size/2)
	}
	return window{chart.Point{X: (left + right) / 2, Y: (low + high) / 2}, room * max(right-left, high-low)}
}

// drawHung draws a chart as it hangs.
func (a *App) drawHung(c chart.Chart, r paper.Rect, win window) {
	scene := a.ui.Scene()
	if len(c.Layers) > 1 { // colours
		img := a.colours(c, win.side)
		scene.Picture(r, img, 1)
		return
	}
	scene.Box(r, 0, white)
	k, mid := r.W/win.side, r.Centre()
	var path paper.Path
	for _, s := range render.WithLabels(c).Layers[0].Shapes {
		path.Reset()
		for _, part := range s.Paths {
			for i, p := range part {
				x, y := mid.X+k*(p.X-win.mid.X), mid.Y-k*(p.Y-win.mid.Y)
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

// curtain lets the curtain be drawn by its edge; it tells whether that has the
// pointer.
func (a *App) curtain(r paper.Rect, edge float64) bool {
	u := a.ui
	if a.drawn() >= 1 || a.drawn() <= 0 {
		return false
	}
	u.Scene().Box(paper.Rect{X: edge - 1, Y: r.Y, W: 2, H: r.H}, 0, u.Theme.Accent)
	knob := paper.Rect{X: edge - 8, Y: r.Y + r.H/2 - 24, W: 16, H: 48}
	u.Scene().Box(knob, 8, u.Theme.Accent)
	u.Scene().Frame(knob, 8, 1, u.Theme.OnAcc)
	g := u.Grip("curtain", a.l("wall.curtain"), fmt.Sprintf("%.0f %%", 100*a.set.Curtain), knob, nil)
	switch {
	case g.Held:
		a.set.Curtain = min(max((g.At.X-r.X)/r.W, 0.02), 0.98)
	case g.Freed:
		a.keep()
	case g.Turn != 0:
		a.set.Curtain = min(max(a.set.Curtain+float64(g.Turn)/100, 0.02), 0.98)
		a.keep()
	}
	u.Ring("curtain", knob)
	return g.Over || g.Held
}

// turning is a cylinder or an arrow in the hand.
type turning struct {
	arrow bool
	cell  int     // of a cylinder
	grab  float64 // what was turned, less the angle of the pointer, when it was taken
	to    int
}

// turnArrow lets the arrow, and with it the blocks, be turned.
func (a *App) turnArrow(r paper.Rect, st sitting.State, other bool) {
	u, t := a.ui, a.seat
	g := u.Grip("arrow", a.l("wall.pointer"), fmt.Sprint(st.Pointer), r, func(paper.Point) bool { return !other })
	mid := r.Centre()
	// The angle in the patient's view, which is how the wall is drawn.
	angle := math.Atan2(mid.Y-g.At.Y, g.At.X-mid.X) * 180 / math.Pi
	switch {
	case g.Taken:
		t.turn = &turning{arrow: true, grab: chart.AngleOf(float64(st.Pointer)) - angle, to: st.Pointer}
	case g.Freed && t.turn != nil && t.turn.arrow:
		to := t.turn.to
		t.turn = nil
		if to != a.seat.s.State().Pointer {
			a.perform(sitting.Action{Do: sitting.Point, Axis: to})
		}
	case g.Held && t.turn != nil && t.turn.arrow:
		t.turn.to = whole(chart.LabelOf(angle + t.turn.grab))
	case g.Turn != 0:
		a.perform(sitting.Action{Do: sitting.Point, Axis: folded(st.Pointer + g.Turn)})
	}
	u.Ring("arrow", r)
}

// whole is an axis to the degree, 1 to 180.
func whole(axis float64) int { return folded(int(math.Round(axis))) }

// folded brings a label into 1 to 180.
func folded(v int) int {
	v %= 180
	if v <= 0 {
		v += 180
	}
	return v
}
