package result

import (
	"conoid/cmd/internal/debrief"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/method"
)

// way is where everything stands on the panel of the path: both focal lines by
// step against the retina, and buoys where the dearest mistakes are. All that is
// written stands beside what is drawn: above it, below it, or to its sides.
type way struct {
	panel, plot paper.Rect
	retina      float64    // y of the retina
	band        paper.Rect // where fog puts the back line
	front, back []paper.Point
	buoys       []buoy
	names       []name
}

// Room around and between the parts of the panel, logical pixels.
const (
	margin  = 16
	between = 8
	rim     = 10 // above and below
)

// sideShare is the share of the panel that names may take on its left; where they
// need more they go below.
const sideShare = 0.26

// layOut places everything on a panel, as tall as is wished where its parts leave
// room for that.
func layOut(u *ui.UI, v voice.Voice, r *scoring.Report, lessons []*debrief.Lesson, at paper.Rect) *way {
	w := &way{panel: at}
	in := paper.Rect{X: at.X + margin, W: at.W - 2*margin}
	y := w.head(u, v, at.Y+rim)
	w.buoys = buoysOf(u, v, lessons)
	if len(w.buoys) > 0 {
		y += 2*radius(u) + 4
	}
	named := w.canBeNamed(u, in.W)
	left := leftOf(u, v)
	beside := left <= sideShare*in.W
	if !beside {
		left = 0
	}
	legend, deep := w.legend(u, v, in.W, !beside, !named)
	w.plot = paper.Rect{X: in.X + left, Y: y, W: in.W - left - rightOf(u, v)}
	w.plot.H = max(52*max(1, u.Text*0.8), at.Bottom()-y-deep-rim)
	if beside {
		w.plot.H = max(w.plot.H, float64(len(fogLines(u, v))+1)*u.LineHeight(ui.Note))
	}
	w.panel.H = w.plot.Bottom() + deep + rim - at.Y
	w.names = append(w.names, moved(legend, in.X, w.plot.Bottom()+between)...)

	w.lines(r)
	if beside {
		w.nameLeft(u, v, in.X, left-between)
	}
	w.nameRight(u, v)
	w.float(u, in, named)
	return w
}

// lines places the band, the retina and both lines in the plot.
func (w *way) lines(r *scoring.Report) {
	high, low := method.MostFog+0.15, -0.4
	for _, m := range r.Path {
		high, low = max(high, float64(m.Front.Power)+0.1), min(low, float64(m.Back.Power)-0.1)
	}
	high, low = min(high, furthest), max(low, -furthest)
	y := func(d float64) float64 { return w.plot.Y + w.plot.H*(high-min(max(d, low), high))/(high-low) }
	w.retina = y(0)
	w.band = paper.Rect{X: w.plot.X, Y: y(method.MostFog), W: w.plot.W, H: y(method.LeastFog) - y(method.MostFog)}
	for i, m := range r.Path {
		x := w.across(i+1, len(r.Path))
		w.front = append(w.front, paper.Point{X: x, Y: y(float64(m.Front.Power))})
		w.back = append(w.back, paper.Point{X: x, Y: y(float64(m.Back.Power))})
	}
}

// furthest is how far from the retina, in dioptres, a line is shown at most.
const furthest = 8

// across is where one of so many steps stands.
func (w *way) across(step, all int) float64 {
	const edge = 10
	return w.plot.X + edge + (w.plot.W-2*edge)*float64(step-1)/float64(max(1, all-1))
}
