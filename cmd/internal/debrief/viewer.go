package debrief

import (
	"image"
	"math"

	xdraw "golang.org/x/image/draw"

	"conoid/render"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
	"conoid/sim/sitting"
)

// side is the size of a small picture, pixels.
const side = 240

// View is what the patient sees at a moment, and through what.
type View struct {
	Image   *image.NRGBA
	Frame   optics.Frame
	Chart   chart.Name
	Pointer int // label that the arrow, if one is shown, points at
}

// viewer makes pictures of what a patient sees. It keeps its renderers.
type viewer struct {
	renderers map[retina.Grid]*retina.Renderer
}

func newViewer() *viewer { return &viewer{map[retina.Grid]*retina.Renderer{}} }

// wide is for charts that the usual grid cannot hold.
var wide = retina.Grid{N: 1024, Pitch: 0.5}

// look is all that the tested eye sees now, in a small square picture; nil when no
// chart hangs or the eye sees nothing of it.
func (v *viewer) look(s *sitting.Sitting) (*image.NRGBA, error) {
	st := s.State()
	c, ok := st.Wall(s.Setup().Room.Labels)
	if !ok {
		return nil, nil
	}
	tested := s.Setup().Tested
	sight, open := s.Sees(tested, st.Frames[tested.Index()])
	if !open {
		return nil, nil
	}
	across := 2 * 1.06 * c.Radius
	return v.image(sight, c, window{Width: across, Height: across}, image.Pt(side, side))
}

// Aspect is how many times as wide as high a view is.
const Aspect = 172.0 / 97

// pixels is the size of a view.
var pixels = image.Pt(2*172, 2*97)

// view is the part of a chart that matters as the patient sees it now; nil when
// no chart hangs or no eye is open. It is that of the tested eye, or of the other
// where only that is open. Row is the size of the letters that matter, logMAR, if
// there are any.
func (v *viewer) view(s *sitting.Sitting, row *float64) (*View, error) {
	st := s.State()
	c, ok := st.Wall(s.Setup().Room.Labels)
	if !ok {
		return nil, nil
	}
	for _, eye := range []sitting.Side{s.Setup().Tested, s.Setup().Tested.Other()} {
		f := st.Frames[eye.Index()]
		sight, open := s.Sees(eye, f)
		if !open {
			continue
		}
		img, err := v.image(sight, c, windowOf(st, c, row), pixels)
		return &View{img, f, st.Chart, st.Pointer}, err
	}
	return nil, nil
}

// image is a window of a chart as an eye sees it, scaled to a size.
func (v *viewer) image(sight patient.Sight, c chart.Drawing, w window, size image.Point) (*image.NRGBA, error) {
	g := retina.Standard()
	if across := float64(g.N) * g.Pitch; 2*c.Radius > across || w.Width > across {
		g = wide
	}
	r := v.renderers[g]
	if r == nil {
		r = retina.New(g)
		v.renderers[g] = r
	}
	r.SetChart(render.WithLabels(c))
	layers, err := r.Layers(sight.Pupil)
	if err != nil {
		return nil, err
	}
	var lights []chart.Light
	for _, l := range c.Layers {
		lights = append(lights, l.Light)
	}
	whole := render.Show(nil, layers, lights, w.on(g))
	small := image.NewNRGBA(image.Rectangle{Max: size})
	xdraw.CatmullRom.Scale(small, small.Rect, whole, whole.Rect, xdraw.Src, nil)
	return small, nil
}

// window is a part of the chart's plane, in minutes of arc.
type window struct {
	Mid           chart.Point
	Width, Height float64
}

// across is a window of the aspect of views that is so wide.
func across(mid chart.Point, width float64) window { return window{mid, width, width / Aspect} }

// on is the part of a grid that lies in a window, moved to lie inside of it.
func (w window) on(g retina.Grid) image.Rectangle {
	samples := func(d float64) int { return min(int(math.Round(d/g.Pitch)), g.N) }
	dx, dy := samples(w.Width), samples(w.Height)
	place := func(mid float64, d int) int {
		return min(max(g.N/2+int(math.Round(mid/g.Pitch))-d/2, 0), g.N-d)
	}
	x, y := place(w.Mid.X, dx), place(-w.Mid.Y, dy)
	return image.Rect(x, y, x+dx, y+dy)
}

// windowOf is the part of a chart that matters: the upper half of the fan, the
// arrow by itself, the blocks, the row of letters. Two views of one chart are of
// one scale. Sizes are in minutes of arc, to fit what is drawn.
func windowOf(st sitting.State, c chart.Drawing, row *float64) window {
	switch kind := chart.Named(st.Chart); {
	case kind.Half:
		return across(chart.Point{Y: 39.5}, 178)
	case kind.Kind == chart.DialChart:
		return across(chart.Point{}, 2*c.Radius*Aspect)
	case kind.Kind == chart.ArrowChart:
		sin, cos := math.Sincos(chart.AngleOf(float64(st.Pointer)) * math.Pi / 180)
		return across(chart.Point{X: 35 * cos, Y: 35 * sin}, 140)
	case kind.Kind == chart.BlockChart:
		return across(chart.Point{}, 172)
	case row != nil:
		if w, ok := rowWindow(c, *row); ok {
			return w
		}
	}
	low, high := bounds(c, func(float64) bool { return true })
	return around(low, high)
}

// around is the window that holds a box, with a little room about it.
func around(low, high chart.Point) window {
	wide := 1.25 * max(high.X-low.X, (high.Y-low.Y)*Aspect)
	return across(chart.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 2}, wide)
}

// rowWindow is the window that holds the letters of a size, logMAR.
func rowWindow(c chart.Drawing, row float64) (window, bool) {
	tall := chart.LetterHeight(row)
	low, high := bounds(c, func(h float64) bool { return math.Abs(h-tall) < 0.05*tall })
	return around(low, high), low.X < high.X
}

// bounds are the corners of the box around the shapes whose height will do.
func bounds(c chart.Drawing, will func(height float64) bool) (low, high chart.Point) {
	low, high = chart.Point{X: math.Inf(1), Y: math.Inf(1)}, chart.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, l := range c.Layers {
		for _, s := range l.Shapes {
			a, b := box(s)
			if will(b.Y - a.Y) {
				low = chart.Point{X: min(low.X, a.X), Y: min(low.Y, a.Y)}
				high = chart.Point{X: max(high.X, b.X), Y: max(high.Y, b.Y)}
			}
		}
	}
	return low, high
}

// box is the corners of the box around a shape.
func box(s chart.Shape) (low, high chart.Point) {
	low, high = chart.Point{X: math.Inf(1), Y: math.Inf(1)}, chart.Point{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, path := range s.Paths {
		for _, p := range path {
			low = chart.Point{X: min(low.X, p.X), Y: min(low.Y, p.Y)}
			high = chart.Point{X: max(high.X, p.X), Y: max(high.Y, p.Y)}
		}
	}
	return low, high
}

// rowRead is the size of the smallest row of which half was read, or of the
// first of them; nil where none was shown.
func rowRead(a *patient.Answer) *float64 {
	if a == nil || len(a.Rows) == 0 {
		return nil
	}
	out := a.Rows[0].LogMAR
	for _, r := range a.Rows {
		if 2*r.Right() >= len(r.Shown) {
			out = min(out, r.LogMAR)
		}
	}
	return &out
}
