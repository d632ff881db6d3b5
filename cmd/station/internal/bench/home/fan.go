package home

import (
	"image"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/render"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/retina"
)

// fan is the picture of the fan as an eye sees it that leaves so much: an eye of a
// pupil and nothing else that blurs, so that what is seen comes from the lines alone.
type fan struct {
	renderers [2]*retina.Renderer // coarse and fine
	image     *image.NRGBA
	version   uint64
	shown     look
	works     bool // a picture is on its way
}

// look is what a picture is made of.
type look struct {
	left optics.Power
	fine bool
}

// pupil is the diameter of its pupil, millimetres.
const pupil = 3.5

// grids are those of a picture that follows the hand, and of one that stays.
func grids() [2]retina.Grid { return [2]retina.Grid{{N: 256, Pitch: 0.7}, retina.Standard()} }

// draw draws the picture, and has a new one made between frames when something has
// changed: a coarse one while a line is in the hand.
func (f *fan) draw(d *desk.Desk, r paper.Rect, left optics.Power, held bool) {
	f.follow(d, look{left, !held})
	sc, t := d.UI.Scene(), d.UI.Theme
	sc.Box(paper.Rect{X: r.X + 3, Y: r.Y + 4, W: r.W, H: r.H}, 0, t.Shade)
	sc.Box(r, 0, shape.White())
	if f.image != nil {
		at := r
		at.W = min(r.W, r.H/fanShape)
		at.X += (r.W - at.W) / 2
		sc.Picture(at, f.image, f.version)
	}
	sc.Frame(r.Inset(-1), 0, 1, t.Edge)
	v := d.Voice()
	d.UI.Image("", v.Text("bench.play.fan"), r)
}

// follow has the picture made that is wanted, once the one before is done.
func (f *fan) follow(d *desk.Desk, want look) {
	if f.works || f.image != nil && f.shown == want {
		return
	}
	f.works = true
	d.Work.Behind(func() {
		defer func() { f.works = false }() // given up for other work, it is asked for again
		f.paint(want, d.Work.Pause)
	})
}

// paint makes a picture, piece by piece.
func (f *fan) paint(want look, pause func()) {
	which := 0
	if want.fine {
		which = 1
	}
	r := f.renderers[which]
	if r == nil {
		r = retina.New(grids()[which])
		r.Between = pause
		r.SetChart(render.WithLabels(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis})))
		f.renderers[which] = r
	}
	layers, err := r.Layers(retina.Pupil{Diameter: pupil, Residual: want.left})
	if err != nil { // no line can be taken so far; see furthest
		panic(err)
	}
	n := grids()[which].N
	part := image.Rect(0, 0, n, int(float64(n)*fanShape))
	f.image, f.shown = render.Show(f.image, layers, []chart.Light{chart.White}, part), want
	f.version++
}
