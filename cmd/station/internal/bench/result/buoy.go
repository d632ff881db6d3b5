package result

import (
	"cmp"
	"math"
	"slices"

	"conoid/cmd/internal/debrief"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// buoy floats above the place of a mistake; its pole stands at the step.
type buoy struct {
	rank     int // 1 for the dearest mistake
	event    int
	at, foot paper.Point
	caption  string // the step
	wide     float64
}

// radius is that of a buoy.
func radius(u *ui.UI) float64 { return 14 * max(1, u.Text*0.8) }

// buoysOf are the buoys of lessons, not yet afloat.
func buoysOf(u *ui.UI, v voice.Voice, lessons []*debrief.Lesson) (out []buoy) {
	for i, l := range lessons {
		b := buoy{rank: i + 1, event: l.N, caption: v.Text("bench.way.step", "n", fact.Count(l.Step))}
		b.wide = roomFor(u, b.caption, ui.Small)
		out = append(out, b)
	}
	return out
}

// roomFor is the room that a line of text needs.
func roomFor(u *ui.UI, text string, s ui.Style) float64 { return math.Ceil(u.Width(text, s)) + 1 }

// takes is the width that a buoy takes, with its step beside it or without.
func (b buoy) takes(u *ui.UI, named bool) float64 {
	if !named {
		return 2*radius(u) + 4
	}
	return 2*radius(u) + 6 + b.wide + 10
}

// canBeNamed reports whether the steps can stand beside the buoys.
func (w *way) canBeNamed(u *ui.UI, wide float64) bool {
	for _, b := range w.buoys {
		wide -= b.takes(u, true)
	}
	return wide >= 0
}

// float sets the buoys as near above their steps as they have room beside one
// another.
func (w *way) float(u *ui.UI, in paper.Rect, named bool) {
	var order []*buoy
	for i := range w.buoys {
		order = append(order, &w.buoys[i])
	}
	slices.SortStableFunc(order, func(a, b *buoy) int { return cmp.Compare(a.event, b.event) })
	var wish, wide []float64
	for _, b := range order {
		b.foot = paper.Point{X: w.across(b.event, len(w.front)), Y: w.retina}
		wish, wide = append(wish, b.foot.X-radius(u)), append(wide, b.takes(u, named))
	}
	end := in.Right()
	if !named { // no pole comes down over the names of the lines
		end = w.plot.Right() + radius(u)
	}
	y, h := w.plot.Y-4-radius(u), u.LineHeight(ui.Small)
	for i, x := range spread(wish, wide, in.X, end) {
		b := order[i]
		b.at = paper.Point{X: x + radius(u), Y: y}
		if named {
			r := paper.Rect{X: x + 2*radius(u) + 6, Y: y - h/2, W: b.wide, H: h}
			w.names = append(w.names, name{text: b.caption, r: r, style: ui.Small})
		}
	}
}

// spread places parts of some widths in a row from low to high, each as near to
// where it is wished as the others leave room.
func spread(wish, wide []float64, low, high float64) []float64 {
	out := slices.Clone(wish)
	for i := range out {
		out[i] = max(out[i], low)
		low = out[i] + wide[i]
	}
	for i := len(out) - 1; i >= 0; i-- {
		out[i] = min(out[i], high-wide[i])
		high = out[i]
	}
	return out
}
