// Package wall draws what hangs on the wall: the card with the chart, the curtain
// across it with the patient's view behind, the rack with the charts to choose from,
// and the sill with what there is to do with the one that hangs.
package wall

import (
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/patient"
)

// View is what is to be drawn.
type View struct {
	Name     chart.Name        // NoChart: nothing hangs there
	Only     []chart.Name      // that may be hung; none: all
	Rows     []patient.RowRead // of letters that hang there
	Labels   chart.Labels      // of the lines of a dial
	Chart    chart.Drawing
	Window   sight.Window
	Who      string         // the patient's name
	Pointer  int            // label that the arrow points at, as it is being turned
	Stands   int            // label that it was left at
	Size     float64        // logMAR of the single letter
	Held     *wish.Turning  // the arrow, when it is in the hand
	Sight    bool           // the patient's view can be had
	Curtain  float64        // share of the card that shows the chart as it hangs; 1: the view is closed
	Seen     *sight.Picture // nil: it is not in view, or not made so far
	Coming   bool           // it is being made
	Peeps    Peeps
	Noted    bool      // to look is noted as a hint
	Guessing *Guessing // nil: no question waits for what the student expects
	Heard    *Heard    // nil: nothing was expected of the last question
	Scale    Scale
	Narrow   bool
	Pale     bool // it is on its way
}

// Peeps are the views that are held open.
type Peeps struct {
	View    bool // the patient's, over the whole card
	Before  bool // as it was before the last change
	Changed bool // there was a change
}

// Swaps reports whether the patient's view takes the whole card for as long as it is
// held, and does not lie behind a curtain: where two marks of one chart are compared,
// an edge between them would part what is to be compared.
func Swaps(name chart.Name) bool {
	kind := chart.Named(name).Kind
	return kind != chart.DialChart && kind != chart.LetterChart
}

// open reports whether the curtain is drawn away from some of the card.
func (w View) open() bool { return w.Sight && w.Curtain < 1 && !Swaps(w.Name) }

// whole reports whether the patient's view takes the whole card.
func (w View) whole() bool { return Swaps(w.Name) && (w.Peeps.View || w.Peeps.Before) && w.Seen != nil }

// axes reports whether the lines of a dial are called by axes.
func (w View) axes() bool { return w.Labels == chart.ByAxis && w.Name.Is(chart.DialChart) }

// points reports whether an arrow hangs there, or a chart that turns with it.
func (w View) points() bool { return chart.Named(w.Name).Pointed }

// Rail is the strip of wood that all hangs from.
func Rail(u *ui.UI, r paper.Rect) { u.Scene().Box(r, 0, u.Theme.Wood) }

// Card draws the card on the wall, and lets the curtain be drawn and the arrow be
// turned.
func Card(u *ui.UI, v voice.Voice, r paper.Rect, w View, out *wish.List) {
	sc := u.Scene()
	sc.Box(paper.Rect{X: r.X + 3, Y: r.Y + 4, W: r.W, H: r.H}, 0, u.Theme.Shade)
	sc.Frame(r.Inset(-1), 0, 1, u.Theme.Edge)
	if w.Name == chart.NoChart {
		bare(u, v, r)
		return
	}
	u.Clip(r)
	edge := w.sides(u, v, r)
	if w.Pale {
		sc.Box(r, 0, shape.Paler(shape.White()))
	}
	tags(u, v, r, edge, w)
	u.Unclip()
	u.Image("", w.alt(v), r)
	if w.whole() {
		sc.Frame(r.Inset(-4), 0, 4, u.Theme.Ink)
	}
	taken := w.open() && curtain(u, v, w, r, edge, out)
	if w.Heard != nil { // its names stand over the curtain's edge
		u.Clip(r)
		heard(u, v, w, r)
		u.Unclip()
	}
	if w.Guessing != nil {
		expects(u, v, w, r, out)
		return
	}
	if w.points() {
		turn(u, v, w, r, taken, out)
	}
}

// sides draws the chart as it hangs and as it is seen, and gives the edge between
// them.
func (w View) sides(u *ui.UI, v voice.Voice, r paper.Rect) (edge float64) {
	switch {
	case w.whole():
		seen(u, v, w, r, r)
		return r.X
	case !w.open() || w.Seen == nil:
		w.hang(u, v, r)
		return r.Right()
	}
	edge = r.X + float64(int(r.W*w.Curtain))
	left, right := r.CutLeft(edge - r.X)
	u.Clip(left)
	w.hang(u, v, r)
	u.Unclip()
	u.Clip(right)
	seen(u, v, w, r, right)
	u.Unclip()
	return edge
}

// hang draws the chart as it hangs, with what is written beside it for the examiner.
func (w View) hang(u *ui.UI, v voice.Voice, r paper.Rect) {
	hung(u.Scene(), w, r)
	if chart.Named(w.Name).HasRows() {
		rowNames(u, v, w, r)
	}
}

// bare draws a wall on which nothing hangs.
func bare(u *ui.UI, v voice.Voice, r paper.Rect) {
	u.Scene().Box(r, 0, u.Theme.Sheet)
	text := v.Text("bench.wall.none")
	h := u.ParaHeight(text, r.W-48, ui.Quiet)
	u.Para(r.X+24, r.Y+(r.H-h)/2, r.W-48, text, ui.Quiet)
}
