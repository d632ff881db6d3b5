package wall

import (
	"math"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
)

// rowHigh is from one name of a row to the next at least, logical pixels at a text size of 100 %.
const rowHigh = 15.0

// rowNames writes at the edge of the card which row of letters is which, with a line to those
// that stand closer together than their names can. The patient does not see them.
func rowNames(u *ui.UI, v voice.Voice, w View, r paper.Rect) {
	at, _ := w.place(r)
	var ys []float64
	var starts []paper.Point
	for _, m := range rowMiddles(w.Chart, w.Rows) {
		p := at(m)
		ys, starts = append(ys, p.Y), append(starts, p)
	}
	high := rowHigh * u.Text
	top, bottom := r.Y+high/2+2, r.Bottom()-high/2-2
	if w.open() {
		bottom -= (tagHeight + 4) * u.Text // above what names the side
	}
	high = min(high, (bottom-top)/max(1, float64(len(ys)-1)))
	for i, y := range spread(ys, high, top, bottom) {
		name := v.Value(fact.Row(w.Rows[i].LogMAR))
		place := paper.Rect{X: r.X + 8, Y: y - high/2, W: u.Width(name, ui.Small) + 2, H: high}
		size := 13 * u.Text
		u.Scene().Text(place.X, y+paper.CapHeight(size, paper.Regular)/2, size, paper.Regular, name, dark)
		u.Scene().Line(place.Right()+4, y, starts[i].X-6, starts[i].Y, 0.75, ui.Light().Rule)
	}
}

// rowMiddles are the left ends of the rows of a chart, whose letters are drawn one after another.
func rowMiddles(c chart.Drawing, rows []patient.RowRead) (out []chart.Point) {
	n := 0
	for _, row := range rows {
		left, low, high := math.Inf(1), math.Inf(1), math.Inf(-1)
		for range row.Shown {
			for _, path := range c.Layers[0].Shapes[n].Paths {
				for _, p := range path {
					left, low, high = min(left, p.X), min(low, p.Y), max(high, p.Y)
				}
			}
			n++
		}
		out = append(out, chart.Point{X: left, Y: (low + high) / 2})
	}
	return out
}

// spread moves places, from above to below, so far that each is a step from the next, and none
// is above top or below bottom if there is room for all.
func spread(ys []float64, step, top, bottom float64) []float64 {
	out := append([]float64(nil), ys...)
	least := top
	for i := range out {
		out[i] = max(out[i], least)
		least = out[i] + step
	}
	for i := range out {
		out[i] = min(out[i], bottom-float64(len(out)-1-i)*step)
	}
	return out
}
