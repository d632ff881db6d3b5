package bench

import (
	"image"
	"image/color"
	"math"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/retina"
	"conoid/sim/sitting"
)

// view is the retinal image of the chart in view, computed when something has
// changed.
type view struct {
	renderers map[retina.Grid]*retina.Renderer
	hung      map[retina.Grid]viewChart
	key       viewKey
	picture   *image.NRGBA
	version   uint64
	state     viewState
}

// viewChart is what makes one drawing of a chart differ from another.
type viewChart struct {
	name    sitting.ChartName
	pointer int
	size    float64
	rows    string
}

// viewKey is all that an image depends on within one sitting.
type viewKey struct {
	chart viewChart
	side  sitting.Side
	frame optics.Frame
	focus float64
}

type viewState uint8

const (
	seen    viewState = iota
	blurred           // nothing is left but an even light
	dark              // no eye is open
)

// wide is the grid for charts that the usual one cannot hold: half a minute of
// arc shows every stroke of the letters that are larger than 6/3.
var wide = retina.Grid{N: 1024, Pitch: 0.5}

// drawSeen draws the chart as the patient sees it.
func (a *App) drawSeen(c chart.Chart, st sitting.State, r paper.Rect, win window) {
	u := a.ui
	a.look(c, st, win)
	switch a.view.state {
	case seen:
		u.Scene().Picture(r, a.view.picture, a.view.version)
	case blurred:
		u.Scene().Box(r, 0, color.NRGBA{0xD8, 0xD8, 0xD8, 255})
		a.over(r, a.l("view.blurred"), color.NRGBA{A: 255})
	case dark:
		u.Scene().Box(r, 0, color.NRGBA{0x18, 0x18, 0x18, 255})
		a.over(r, a.l("view.dark"), white)
	}
}

// over writes in the middle of a picture.
func (a *App) over(r paper.Rect, text string, c color.NRGBA) {
	lines := a.ui.Wrap(text, r.W*0.4, ui.Body)
	lh := a.ui.LineHeight(ui.Body)
	for i, l := range lines {
		w := a.ui.Width(l, ui.Body)
		a.ui.Scene().Text(r.Right()-r.W/4-w/2, r.Centre().Y+(float64(i)-float64(len(lines)-1)/2)*lh, 16*a.ui.Text, paper.Regular, l, c)
	}
}

// watched is the eye whose view is shown: the tested one, or the other when
// only that is open. It stands behind its frame, with a cylinder that is being
// turned where it is now.
func (a *App) watched() (side sitting.Side, f optics.Frame) {
	t := a.seat
	st := t.s.State()
	side = t.tested()
	if _, open := t.s.Sees(side, st.Frames[side.Index()]); !open {
		if _, open := t.s.Sees(side.Other(), st.Frames[side.Other().Index()]); open {
			return side.Other(), st.Frames[side.Other().Index()]
		}
	}
	f = st.Frames[side.Index()]
	if t.turn != nil && !t.turn.arrow {
		f.Lenses[t.turn.cell].Axis = float64(t.turn.to)
	}
	return side, f
}

// look computes the image if it is not the one that is there.
func (a *App) look(c chart.Chart, st sitting.State, win window) {
	v := &a.view
	side, f := a.watched()
	k := viewKey{chartKey(st), side, f, a.seat.s.Accommodation()}
	if v.version > 0 && v.key == k {
		return
	}
	v.key = k
	v.version++
	sight, open := a.seat.s.Sees(side, f)
	if !open {
		v.state = dark
		return
	}
	g := retina.Standard
	if far := win.side/2 + max(math.Abs(win.mid.X), math.Abs(win.mid.Y)); 2*far > float64(g.N)*g.Pitch {
		g = wide
	}
	layers, err := v.layers(g, c, k.chart, sight.Pupil)
	if err != nil {
		v.state = blurred
		return
	}
	half := int(math.Round(win.side / 2 / g.Pitch))
	x, y := g.N/2+int(math.Round(win.mid.X/g.Pitch)), g.N/2-int(math.Round(win.mid.Y/g.Pitch))
	part := image.Rect(x-half, y-half, x+half, y+half)
	var lights []chart.Light
	for _, l := range c.Layers {
		lights = append(lights, l.Light)
	}
	v.picture, v.state = render.Show(v.picture, layers, lights, part), seen
}

// layers are the retinal images, from a renderer that is kept.
func (v *view) layers(g retina.Grid, c chart.Chart, k viewChart, p retina.Pupil) ([]*retina.Image, error) {
	if v.renderers == nil {
		v.renderers, v.hung = map[retina.Grid]*retina.Renderer{}, map[retina.Grid]viewChart{}
	}
	r := v.renderers[g]
	if r == nil {
		r = retina.New(g)
		v.renderers[g] = r
	}
	if v.hung[g] != k {
		r.SetChart(render.WithLabels(c))
		v.hung[g] = k
	}
	return r.Layers(p)
}

// chartKey tells drawings of a chart apart.
func chartKey(st sitting.State) viewChart {
	k := viewChart{name: st.Chart}
	switch st.Chart {
	case sitting.Arrow, sitting.Blocks:
		k.pointer = st.Pointer
	case sitting.Letter, sitting.Letters:
		k.size = st.Size
		for _, r := range st.Rows {
			k.rows += r.Shown
		}
	}
	return k
}

// thumb is a small picture of a chart.
type thumb struct{ img *image.NRGBA }

const thumbSize = 24

// drawThumb draws a small picture of a chart.
func (a *App) drawThumb(name sitting.ChartName, r paper.Rect) {
	t := a.thumbs[string(name)]
	if t == nil {
		t = &thumb{render.Plain(sample(name), 4*thumbSize)}
		a.thumbs[string(name)] = t
	}
	a.ui.Scene().Picture(r, t.img, 1)
}

// sample is a chart for a small picture.
func sample(name sitting.ChartName) chart.Chart {
	switch name {
	case sitting.Letters:
		return chart.LetterSheet([]float64{0.5, 0.3, 0}, []string{"HN", "VZC", "KRD"})
	case sitting.Letter:
		return chart.Letter(0.3, 'H')
	}
	st := sitting.State{Chart: name, Pointer: 40}
	c, _ := st.Wall(chart.NoLabels)
	return c
}

// colours is a chart of several lights as it hangs.
func (a *App) colours(c chart.Chart, span float64) *image.NRGBA {
	const key = "colours"
	t := a.thumbs[key]
	if t == nil {
		t = &thumb{render.Sharp(c, 1024, span)}
		a.thumbs[key] = t
	}
	return t.img
}
