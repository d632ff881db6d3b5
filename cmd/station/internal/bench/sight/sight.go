// Package sight makes the picture of a chart as the patient sees it.
package sight

import (
	"image"
	"math"

	"conoid/render"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
	"conoid/sim/sitting"
)

// Insight is what a picture is made from.
type Insight interface {
	Sees(side sitting.Side, f optics.Frame) (seen patient.Sight, open bool)
	Accommodation() float64
}

// State is what there is to see.
type State uint8

// What there can be.
const (
	Seen    State = iota
	Blurred       // nothing is left but an even light
	Dark          // no eye is open
)

// Picture is the retinal image of the chart in view.
type Picture struct {
	State   State
	Image   *image.NRGBA // when it is seen
	Mid     chart.Point  // what of the chart's plane it shows: the place of its middle,
	Wide    float64      // and its size, minutes of arc; all beyond is as at its edge
	High    float64
	Dark    bool   // all beyond is dark
	Version uint64 // a new one for each new picture

	Changing bool // it is the last one: the next is being made
}

// Line does work between frames.
type Line interface {
	View(f func()) // unless there is such work
	Pause()
}

// Eye computes pictures, each when something has changed.
type Eye struct {
	renderers map[retina.Grid]*retina.Renderer
	hung      map[retina.Grid]drawing
	key       key
	picture   Picture
	pause     func() // between the parts of a picture; nil: it is made in one piece
}

// drawing is what makes one drawing of a chart differ from another.
type drawing struct {
	name    chart.Name
	pointer int
	size    float64
	rows    string
}

// key is all that an image depends on within one sitting.
type key struct {
	chart drawing
	side  sitting.Side
	open  bool
	frame optics.Frame
	focus float64
}

// wide is the grid for charts that the usual one cannot hold: half a minute of
// arc shows every stroke of the letters that are larger than 6/3.
var wide = retina.Grid{N: 1024, Pitch: 0.5}

// Watched is the eye whose view is shown: the tested one, or the other when
// only that is open.
func Watched(in Insight, tested sitting.Side, st sitting.State) sitting.Side {
	open := func(side sitting.Side) bool {
		_, is := in.Sees(side, st.Frames[side.Index()])
		return is
	}
	if !open(tested) && open(tested.Other()) {
		return tested.Other()
	}
	return tested
}

// view is what a picture is made of.
type view struct {
	key
	pupil  retina.Pupil
	chart  chart.Drawing
	window Window
}

// viewOf is what one eye sees of a chart that hangs on the wall within a window.
func viewOf(in Insight, side sitting.Side, st sitting.State, c chart.Drawing, win Window) view {
	f := st.Frames[side.Index()]
	seen, open := in.Sees(side, f)
	return view{key{drawingOf(st), side, open, f, in.Accommodation()}, seen.Pupil, c, win}
}

// Look is the picture of a chart that hangs on the wall, as one eye sees it within a window.
func (e *Eye) Look(in Insight, side sitting.Side, st sitting.State, c chart.Drawing, win Window) Picture {
	if want := viewOf(in, side, st, c, win); !e.has(want) {
		e.make(want)
	}
	return e.picture
}

// Follow is the same, but made piece by piece while the user goes on. Until then it is the last
// picture, said to be changing, if it is of the same chart and eye, and else none.
func (e *Eye) Follow(line Line, in Insight, side sitting.Side, st sitting.State, c chart.Drawing, win Window) *Picture {
	want := viewOf(in, side, st, c, win)
	p := e.picture
	switch {
	case e.has(want):
		return &p
	case !want.open: // there is nothing to work out
		e.make(want)
		p = e.picture
		return &p
	}
	e.pause = line.Pause
	line.View(func() { e.make(want) })
	if p.Version == 0 || !e.key.changesTo(want.key) {
		return nil
	}
	p.Changing = true
	return &p
}

// changesTo reports whether what there is to see changes into something else, and is not another thing
// altogether. What is turned stays what it is.
func (k key) changesTo(next key) bool {
	k.chart.pointer, k.frame, k.focus = next.chart.pointer, next.frame, next.focus
	return k == next && k.open
}

// has reports whether the picture is of a view.
func (e *Eye) has(v view) bool { return e.picture.Version > 0 && e.key == v.key }

// make makes the picture of a view.
func (e *Eye) make(v view) {
	g := retina.Standard()
	if 2*v.window.Reach > float64(g.N)*g.Pitch {
		g = wide
	}
	var layers []*retina.Image
	state := Dark
	if v.open {
		var err error
		state = Seen
		if layers, err = e.layers(g, v.chart, v.key.chart, v.pupil); err != nil {
			state = Blurred
		}
	}
	e.key, e.picture.State = v.key, state
	e.picture.Version++
	if state != Seen {
		return
	}
	var lights []chart.Light
	for _, l := range v.chart.Layers {
		lights = append(lights, l.Light)
	}
	part := e.picture.within(g, v.window)
	e.picture.Image = render.Show(e.picture.Image, layers, lights, part)
	e.picture.Dark = v.chart.Layers[0].Ground == 0
}

// within is the part of a grid that lies in a window; the picture learns which.
func (p *Picture) within(g retina.Grid, win Window) image.Rectangle {
	column := func(x float64) int { return g.N/2 + int(math.Round(x/g.Pitch)) }
	row := func(y float64) int { return g.N/2 - int(math.Round(y/g.Pitch)) }
	part := image.Rect(
		column(win.Mid.X-win.Width/2), row(win.Mid.Y+win.Height/2),
		column(win.Mid.X+win.Width/2), row(win.Mid.Y-win.Height/2),
	).Intersect(image.Rect(0, 0, g.N, g.N))
	middle := float64(g.N) / 2
	p.Mid.X = (float64(part.Min.X+part.Max.X)/2 - middle) * g.Pitch
	p.Mid.Y = (middle - float64(part.Min.Y+part.Max.Y)/2) * g.Pitch
	p.Wide, p.High = float64(part.Dx())*g.Pitch, float64(part.Dy())*g.Pitch
	return part
}

// layers are the retinal images, from a renderer that is kept.
func (e *Eye) layers(g retina.Grid, c chart.Drawing, d drawing, p retina.Pupil) ([]*retina.Image, error) {
	if e.renderers == nil {
		e.renderers, e.hung = map[retina.Grid]*retina.Renderer{}, map[retina.Grid]drawing{}
	}
	r := e.renderers[g]
	if r == nil {
		r = retina.New(g)
		r.Between = e.pause
		e.renderers[g] = r
	}
	if e.hung[g] != d {
		r.SetChart(render.WithLabels(c))
		e.hung[g] = d
	}
	return r.Layers(p)
}

// drawingOf tells drawings of a chart apart.
func drawingOf(st sitting.State) drawing {
	d := drawing{name: st.Chart}
	switch c := chart.Named(st.Chart); {
	case c.Pointed:
		d.pointer = st.Pointer
	case c.Kind == chart.LetterChart:
		d.size = st.Size
		for _, r := range st.Rows {
			d.rows += r.Shown
		}
	}
	return d
}
