package wall

import (
	"fmt"
	"math"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
)

// Ajar is the share of the card that shows the chart as it hangs when the view is
// opened: enough to see what it is.
const Ajar = 0.27

// Sill is what can be done with the chart that hangs: on the left its scale, or what
// it is turned or sized by; on the right the patient's view of it. It is as wide as
// the card.
func Sill(u *ui.UI, v voice.Voice, r paper.Rect, w View, out *wish.List) {
	left := views(u, v, r, w, out)
	_, left = left.CutRight(8)
	own(u, v, left, w, out)
}

// SillInTwo is the same in two rows, with the charts: what the chart is turned or sized by
// is in the second.
func SillInTwo(u *ui.UI, v voice.Voice, r paper.Rect, w View, out *wish.List) {
	first, second := r.CutTop(r.H/2 - 4)
	_, second = second.CutTop(8)
	w.Narrow = true // the buttons have a row of their own
	Bench(u, v, first, w, out)
	own(u, v, second, w, out)
}

// own is what a chart is turned or sized by, or else a note on it.
func own(u *ui.UI, v voice.Voice, r paper.Rect, w View, out *wish.List) {
	switch {
	case w.Name == chart.NoChart:
	case w.points():
		arrowKeys(u, v, r, w, out)
	case chart.Named(w.Name).Sized:
		letterKeys(u, v, r, w, out)
	default:
		note(u, v, r, w, r.W/w.Window.Width)
	}
}

// Bench is the same where the card is narrow: the charts on the left, and what does
// not fit beside is drawn by Turns.
func Bench(u *ui.UI, v voice.Voice, r paper.Rect, w View, out *wish.List) {
	wide, _ := u.ButtonSize(v.Text("bench.wall.charts"), r.W)
	place, rest := r.CutLeft(max(wide, 44))
	charts(u, v, place, out)
	_, rest = rest.CutLeft(8)
	views(u, v, rest, w, out)
}

// Listed is the same in a column, in as many rows as it takes.
func Listed(u *ui.UI, v voice.Voice, c *ui.Column, w View, out *wish.List) {
	c.Flow(func(f *ui.Flow) {
		place := func(label string) paper.Rect {
			wide, high := u.ButtonSize(label, c.W)
			return f.Next(wide, max(high, 44))
		}
		charts(u, v, place(v.Text("bench.wall.charts")), out)
		view, before := w.names(u, v, c.W)
		for _, b := range w.buttons(view, before) {
			b.draw(u, place(b.label), out)
		}
	})
}

// charts leads to all charts.
func charts(u *ui.UI, v voice.Voice, r paper.Rect, out *wish.List) {
	if u.Button("charts", r, v.Text("bench.wall.charts"), ui.Plain) {
		out.Add(wish.Show{Sheet: wish.Charts})
	}
}

// Turns are what the chart is turned or sized by, and the notes on it, in a column.
func Turns(u *ui.UI, v voice.Voice, c *ui.Column, w View, pixels float64, out *wish.List) {
	switch {
	case w.Name == chart.NoChart:
		return
	case w.points():
		arrowKeys(u, v, c.Block(44*u.Text), w, out)
		c.Gap(8)
	case chart.Named(w.Name).Sized:
		letterKeys(u, v, c.Block(44*u.Text), w, out)
		c.Gap(8)
	}
	c.Para(w.about(v, pixels), ui.Note)
}

// about says how large the chart is, or how far a picture of what is seen can be
// trusted.
func (w View) about(v voice.Voice, pixels float64) string {
	if w.open() {
		return v.Text("bench.wall.picture")
	}
	if w.axes() && !w.Noted {
		return w.Scale.Text(v, pixels) + " " + v.Text("bench.wall.labels")
	}
	if w.Sight && w.Noted && !Swaps(w.Name) {
		return w.Scale.Text(v, pixels) + " " + v.Text("bench.wall.noted")
	}
	return w.Scale.Text(v, pixels)
}

// note writes it on the sill.
func note(u *ui.UI, v voice.Voice, r paper.Rect, w View, pixels float64) {
	text := w.about(v, pixels)
	h := u.ParaHeight(text, r.W, ui.Note)
	if h > r.H && w.open() {
		text = v.Text("bench.wall.picture.short")
		h = u.ParaHeight(text, r.W, ui.Note)
	}
	u.Para(r.X, r.Y+(r.H-h)/2, r.W, text, ui.Note)
}

// views are the buttons of the patient's view, from the right; it gives the room that
// is left.
func views(u *ui.UI, v voice.Voice, r paper.Rect, w View, out *wish.List) paper.Rect {
	view, before := w.names(u, v, r.W)
	for _, b := range w.buttons(view, before) {
		var place paper.Rect
		wide, _ := u.ButtonSize(b.label, r.W)
		place, r = r.CutRight(max(wide, 44))
		_, r = r.CutRight(8)
		b.draw(u, place, out)
	}
	return r
}

// button is one of them.
type button struct {
	id, label string
	to        float64      // where it draws the curtain
	holds     bool         // it acts as long as it is held, and
	what      wish.Glimpse // shows this,
	on, can   bool         // is doing so, and can
}

// buttons are those of the patient's view, from the right.
func (w View) buttons(view, before string) []button {
	past := button{id: "before", label: before, holds: true, what: wish.ViewBefore, on: w.Peeps.Before, can: w.Peeps.Changed}
	switch {
	case !w.Sight || w.Name == chart.NoChart:
		return nil
	case Swaps(w.Name):
		return []button{{id: "view", label: view, holds: true, what: wish.PatientsView, on: w.Peeps.View, can: true}, past}
	case w.open():
		return []button{past, {id: "view", label: view, to: 1}}
	}
	return []button{{id: "view", label: view, to: Ajar}}
}

func (b button) draw(u *ui.UI, r paper.Rect, out *wish.List) {
	if b.holds {
		hold(u, b, r, out)
	} else if u.Button(b.id, r, b.label, ui.Plain) {
		out.Add(wish.Curtain{To: b.to, Keep: true})
	}
}

// names are what the buttons of the view are called where there is so much room.
func (w View) names(u *ui.UI, v voice.Voice, room float64) (view, before string) {
	long, short := w.named(v, "bench.wall.hold"), v.Text("bench.wall.hold.any")
	switch {
	case w.open():
		long, short = v.Text("bench.wall.close"), v.Text("bench.wall.close.any")
	case !Swaps(w.Name):
		long, short = w.named(v, "bench.wall.look"), v.Text("bench.wall.look.any")
	}
	left := 250 * u.Text // of the arrow's keys, or a note
	switch {
	case w.Narrow:
		left = 0
	case w.open(): // the note on pictures is the longer one
		left = 310 * u.Text
	case !Swaps(w.Name): // the other button is not there
		left = 160 * u.Text
	}
	for _, view = range []string{long, short} {
		for _, id := range []string{"bench.wall.before", "bench.wall.before.short"} {
			before = v.Value(fact.Fact{ID: id})
			both := u.Width(view, ui.Strong) + u.Width(before, ui.Strong) + 2*26 + 16
			if both+left <= room {
				return view, before
			}
		}
	}
	return short, before
}

// hold is a button that shows something as long as it is held.
func hold(u *ui.UI, b button, r paper.Rect, out *wish.List) {
	look := ui.Plain
	if b.on {
		look = ui.Selected
	}
	switch h := ui.Hold(u, b.can, b.id, r, b.label, look); {
	case h.Taken:
		out.Add(wish.Peep{What: b.what})
	case h.Freed:
		out.Add(wish.Peep{What: b.what, Over: true})
	case h.Struck:
		out.Add(wish.Peep{What: b.what, Latch: true})
	}
}

// arrowKeys are the arrow's reading and the keys that turn it.
func arrowKeys(u *ui.UI, v voice.Voice, r paper.Rect, w View, out *wish.List) {
	read := readingOf(u, v, w.Pointer, r.W)
	k := min(46*u.Text, (r.W-read.wide)/4)
	pill := named(u, r, v.Text("bench.wall.pointer"), 4*k+read.wide)
	inner := pillBack(u, pill, 2*k)
	u.Scene().Line(pill.X+k, pill.Y+12, pill.X+k, pill.Bottom()-12, 1, u.Theme.Rule)
	u.Scene().Line(pill.Right()-k, pill.Y+12, pill.Right()-k, pill.Bottom()-12, 1, u.Theme.Rule)
	for i, by := range []int{-5, -1, 1, 5} {
		key := paper.Rect{X: pill.X + float64(i)*k, Y: r.Y, W: k, H: r.H}
		if by > 0 {
			key.X = inner.Right() + float64(i-2)*k
		}
		turn := fact.Turn(by)
		if u.Sign(true, fmt.Sprintf("arrow %+d", by), key, v.Value(turn), v.Text("bench.wall.turn", "turn", turn), ui.Bare) {
			out.Add(wish.Point(shape.Folded(w.Stands + by)))
		}
	}
	read.draw(inner)
}

// named writes what keys are for before them, if there is room, and gives their place.
func named(u *ui.UI, r paper.Rect, label string, keys float64) paper.Rect {
	wide := u.Width(label, ui.SmallBold) + 6
	if wide+keys <= r.W {
		var place paper.Rect
		place, r = r.CutLeft(wide)
		u.Label(place, label, ui.SmallBold, ui.Start)
	}
	r.W = min(r.W, keys)
	return r
}

// pillBack draws what a row of keys is made of, with so much room for the keys at
// either end; it gives the middle.
func pillBack(u *ui.UI, r paper.Rect, k float64) (inner paper.Rect) {
	sc, t := u.Scene(), u.Theme
	sc.Box(r, r.H/2, t.Sheet)
	sc.Frame(r, r.H/2, 1, t.Edge)
	for _, x := range []float64{r.X + k, r.Right() - k} {
		sc.Line(x, r.Y+8, x, r.Bottom()-8, 1, t.Rule)
	}
	return paper.Rect{X: r.X + k, Y: r.Y, W: r.W - 2*k, H: r.H}
}

// letterKeys are the size of the single letter and the keys that change it.
func letterKeys(u *ui.UI, v voice.Voice, r paper.Rect, w View, out *wish.List) {
	label, k := v.Text("bench.wall.letter"), 46*u.Text
	pill := named(u, r, label, 2*k+120*u.Text)
	inner := pillBack(u, pill, k)
	by := 0
	if u.Sign(true, "letter size less", paper.Rect{X: pill.X, Y: r.Y, W: k, H: r.H}, "−", u.Names.Less(label), ui.Bare) {
		by--
	}
	u.Label(inner, v.Value(fact.Row(w.Size)), ui.Strong, ui.Middle)
	if u.Sign(true, "letter size more", paper.Rect{X: pill.Right() - k, Y: r.Y, W: k, H: r.H}, "+", u.Names.More(label), ui.Bare) {
		by++
	}
	if by != 0 {
		out.Add(wish.ShowLetter(math.Round(10*w.Size)/10 + 0.1*float64(by)))
	}
}
