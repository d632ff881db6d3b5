package result

import (
	"fmt"
	"math"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cmd/internal/debrief"
	"conoid/cmd/internal/debrief/debrieftest"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
)

const byHand = "../../../../../scoring/testdata/sittings"

// reviewed are the sittings that were marked by hand, reviewed once.
var reviewed = sync.OnceValue(func() map[string]*debrief.Debrief { return map[string]*debrief.Debrief{} })

func everySitting(t *testing.T) map[string]*debrief.Debrief {
	t.Helper()
	for _, name := range debrieftest.Names(t, byHand) {
		oneSitting(t, name)
	}
	return reviewed()
}

// oneSitting is one of them.
func oneSitting(t *testing.T, name string) *debrief.Debrief {
	t.Helper()
	all := reviewed()
	if all[name] == nil {
		all[name] = debrieftest.Of(t, byHand, name)
	}
	return all[name]
}

// glass is a screen of a size on which nothing happens.
func glass(w, h, text float64) *ui.UI {
	u := ui.New()
	u.Text = text
	u.Begin(ui.Input{}, w, h)
	return u
}

// sizes are those that the screen is made for: small and large laptops, a window
// beside another, and a telephone held upright.
var sizes = []struct{ w, h float64 }{{1366, 625}, {1366, 768}, {1920, 1080}, {1180, 700}, {900, 700}, {700, 700}, {390, 844}}

// everywhere does something at all sizes of window and text, in all languages.
func everywhere(do func(w, h, text float64, v voice.Voice, where string)) {
	for _, size := range sizes {
		for _, text := range []float64{1, 1.25, 1.5, 2} {
			for _, language := range assets.Languages() {
				do(size.w, size.h, text, voice.In(language), fmt.Sprintf("%vx%v at %v in %s", size.w, size.h, text, language))
			}
		}
	}
}

// widthOf is the width of the page's column in a window.
func widthOf(w float64) float64 { return min(w-32, wide(paper.Rect{W: w})+scrolled) - scrolled }

// Whatever the path of a sitting, no text of its panel lies on another text, a
// buoy, a line or the retina, and nothing leaves the panel.
func TestNothingOverprintsOnThePath(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes long")
	}
	all := everySitting(t)
	everywhere(func(w, h, text float64, v voice.Voice, where string) {
		u := glass(w, h, text)
		for name, d := range all {
			at := paper.Rect{X: 20, Y: 40, W: widthOf(w), H: tallOf(u.Window())}
			clear(t, u, layOut(u, v, d.Report, d.Lessons(), at), where+": "+name)
		}
	})
}

// clear checks that the names of a path lie clear of all the rest.
func clear(t *testing.T, u *ui.UI, w *way, where string) {
	t.Helper()
	for i, n := range w.names {
		require.True(t, within(n.r, w.panel), "%s: %q leaves the panel", where, n.text)
		require.LessOrEqual(t, u.Width(n.text, n.style), n.r.W+0.5, "%s: %q is cut", where, n.text)
		for _, o := range w.names[:i] {
			require.False(t, meets(n.r, o.r), "%s: %q lies on %q", where, n.text, o.text)
		}
		for _, b := range w.buoys {
			r := radius(u)
			require.False(t, meets(n.r, paper.Rect{X: b.at.X - r, Y: b.at.Y - r, W: 2 * r, H: 2 * r}), "%s: %q lies on buoy %d", where, n.text, b.rank)
			require.False(t, crosses(n.r, []paper.Point{{X: b.at.X, Y: b.at.Y + r}, b.foot}), "%s: the pole of %d crosses %q", where, b.rank, n.text)
		}
		require.False(t, crosses(n.r, w.front) || crosses(n.r, w.back), "%s: a line crosses %q", where, n.text)
		require.False(t, meets(n.r, paper.Rect{X: w.plot.X, Y: w.retina - 3, W: w.plot.W, H: 6}), "%s: %q lies on the retina", where, n.text)
		require.False(t, meets(n.r, w.band), "%s: %q lies on the band", where, n.text)
	}
	for i, b := range w.buoys {
		for _, o := range w.buoys[:i] {
			require.GreaterOrEqual(t, math.Abs(b.at.X-o.at.X), 2*radius(u), "%s: buoys %d and %d", where, b.rank, o.rank)
		}
		require.True(t, b.foot.X >= w.plot.X && b.foot.X <= w.plot.Right(), where)
	}
	for _, p := range append(w.front[:len(w.front):len(w.front)], w.back...) {
		require.True(t, w.plot.Inset(-0.5).Contains(p), "%s: a line leaves the plot at %v", where, p)
	}
}

func within(a, b paper.Rect) bool {
	return a.X >= b.X-0.5 && a.Y >= b.Y-0.5 && a.Right() <= b.Right()+0.5 && a.Bottom() <= b.Bottom()+0.5
}

// meets reports whether two places share more than an edge. Text has room above
// and below it in its line.
func meets(a, b paper.Rect) bool {
	both := a.Intersect(b)
	return both.W > 0.5 && both.H > 2
}

// crosses reports whether a line through points comes into a place.
func crosses(r paper.Rect, line []paper.Point) bool {
	for i := 1; i < len(line); i++ {
		for k := 0.0; k <= 1; k += 1.0 / 64 {
			p := paper.Point{X: line[i-1].X + k*(line[i].X-line[i-1].X), Y: line[i-1].Y + k*(line[i].Y-line[i-1].Y)}
			if p.X > r.X+0.5 && p.X < r.Right()-0.5 && p.Y > r.Y+1 && p.Y < r.Bottom()-1 {
				return true
			}
		}
	}
	return false
}

// Mistakes at one step, or at the first and the last, have buoys side by side.
func TestBuoysOfOneStepFloatSideBySide(t *testing.T) {
	path := make([]scoring.Moment, 40)
	for i := range path {
		path[i].Event = i + 1
		path[i].Front.Power = 1
	}
	r := &scoring.Report{Path: path}
	for _, steps := range [][]int{{7, 7, 7}, {1, 1, 2}, {40, 40, 39}, {40, 1, 20}, {40}, {}} {
		var lessons []*debrief.Lesson
		for _, n := range steps {
			lessons = append(lessons, &debrief.Lesson{N: n})
		}
		everywhere(func(w, h, text float64, v voice.Voice, where string) {
			u := glass(w, h, text)
			clear(t, u, layOut(u, v, r, lessons, paper.Rect{W: widthOf(w), H: tallOf(u.Window())}), fmt.Sprint(where, steps))
		})
	}
}

// Above the retina is before it, and each line stands at its dioptres: the band of
// the fog from 0.25 to 1.00 D is three quarters of a dioptre high.
func TestThePathIsToScale(t *testing.T) {
	r := &scoring.Report{Path: []scoring.Moment{
		{Front: scoring.Line{Power: 1}, Back: scoring.Line{Power: 0.25}},
		{Front: scoring.Line{Power: fact.Power(-0.5)}, Back: scoring.Line{Power: fact.Power(-1.25)}},
	}}
	w := layOut(glass(1366, 768, 1), voice.English, r, nil, paper.Rect{W: 1180, H: 160})
	dioptre := w.retina - w.front[0].Y
	assert.Positive(t, dioptre)
	assert.InDelta(t, dioptre/4, w.retina-w.back[0].Y, 1e-6)
	assert.InDelta(t, -dioptre/2, w.retina-w.front[1].Y, 1e-6)
	assert.InDelta(t, -1.25*dioptre, w.retina-w.back[1].Y, 1e-6)
	assert.InDelta(t, w.front[0].Y, w.band.Y, 1e-6)
	assert.InDelta(t, w.back[0].Y, w.band.Bottom(), 1e-6)
	assert.InDelta(t, 0.75*dioptre, w.band.H, 1e-6)
}

// A sitting in which only the end point was stated has one step.
func TestThePathOfOneStep(t *testing.T) {
	r := &scoring.Report{Path: []scoring.Moment{{Front: scoring.Line{Power: 1}}}}
	u := glass(390, 844, 1)
	w := layOut(u, voice.English, r, []*debrief.Lesson{{N: 1}}, paper.Rect{W: 334, H: 160})
	clear(t, u, w, "one step")
	w.draw(u)
	u.End()
}
