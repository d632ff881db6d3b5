package chairside

import (
	"conoid/cmd/internal/guide"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// Bar is the line at the top.
type Bar struct {
	Title     string
	Facts     []string // the same in ever fewer words
	Stage     int      // of the method, from 1, and its name, for who is led; 0: nobody is
	StageName string
	Mode      string // how who has no stages works; empty: nothing is said of it
	Warning   string // that the time runs out, or how it stands, while that is what is told; empty: nothing is
	Buttons   []Button
}

// Button is a button in the bar; they stand from right to left, the menu first.
type Button struct {
	ID, Label string
	Look      ui.Look
	Wish      wish.Wish
}

const barButton = 44 // height

// draw draws the bar: who sits there, the facts, the stages of who is led, and the
// buttons; what has no room is left out, the least needed first. It reports whether there
// was room for the warning.
func (b Bar) draw(u *ui.UI, r paper.Rect, out *wish.List) (warned bool) {
	in := paper.Rect{X: desk.Gap, Y: r.Y + (r.H-barButton)/2, W: r.W - 2*desk.Gap, H: barButton}
	for _, b := range b.Buttons {
		w, _ := u.ButtonSize(b.Label, in.W)
		var place paper.Rect
		place, in = in.CutRight(max(w, barButton))
		_, in = in.CutRight(8)
		if u.Button(b.ID, place, b.Label, b.Look) {
			out.Add(b.Wish)
		}
	}
	in = b.words(u, in)
	switch {
	case b.Warning != "":
		return b.warn(u, in)
	case b.Stage > 0 && in.W >= knotsWide+8:
		b.stages(u, in)
	case b.Mode != "":
		b.mode(u, in)
	}
	return false
}

// warn writes the warning on a plate, in one line or two, where nothing of the chart is behind
// it; false where there is no room.
func (b Bar) warn(u *ui.UI, in paper.Rect) bool {
	wide := min(in.W, u.Width(b.Warning, ui.SmallBold)+21)
	high := u.ParaHeight(b.Warning, wide-20, ui.SmallBold)
	if wide < 100*u.Text || high+4 > in.H {
		return false
	}
	r := paper.Rect{X: in.X, Y: in.Centre().Y - high/2 - 2, W: wide, H: high + 4}
	u.Scene().Box(r, 8, u.Theme.Sheet)
	u.Scene().Frame(r, 8, 2, u.Theme.Act)
	u.Para(r.X+10, r.Y+2, wide-20, b.Warning, ui.SmallBold)
	return true
}

// mode tells how the student works, on a small plate.
func (b Bar) mode(u *ui.UI, in paper.Rect) {
	wide, high := u.Width(b.Mode, ui.SmallBold)+20, u.LineHeight(ui.SmallBold)+6
	if wide > in.W {
		return
	}
	r := paper.Rect{X: in.X, Y: in.Centre().Y - high/2, W: wide, H: high}
	u.Scene().Box(r, 8, u.Theme.Touch)
	u.Label(r, b.Mode, ui.SmallBold, ui.Middle)
}

// words writes as much of the facts as there is room for, and gives what is left.
func (b Bar) words(u *ui.UI, in paper.Rect) paper.Rect {
	knots := 0.0
	if b.Stage > 0 {
		knots = knotsWide + 16
	}
	title := u.Width(b.Title, ui.Strong) + 10
	for _, f := range b.Facts[:min(2, len(b.Facts))] { // fewer are worth less than the title
		if w := u.Width(f, ui.Quiet); title+w+knots <= in.W {
			ui.Headline(u, paper.Rect{X: in.X, Y: in.Y, W: title, H: in.H}, b.Title)
			u.Label(paper.Rect{X: in.X + title, Y: in.Y, W: w, H: in.H}, f, ui.Quiet, ui.Start)
			_, in = in.CutLeft(title + w + 16)
			return in
		}
	}
	return b.facts(u, in)
}

// facts writes as many of the facts as there is room for, and gives what is left.
func (b Bar) facts(u *ui.UI, in paper.Rect) paper.Rect {
	for _, f := range b.Facts {
		if w := u.Width(f, ui.Quiet); w <= in.W {
			u.Label(paper.Rect{X: in.X, Y: in.Y, W: w, H: in.H}, f, ui.Quiet, ui.Start)
			_, in = in.CutLeft(w + 16)
			return in
		}
	}
	return in
}

// From knot to knot, and all of them.
const (
	knotStep  = 18
	knotsWide = knotStep*(guide.Stages-1) + 16
)

// stages draws a knot for each stage of the method: those behind are full, the one at
// hand is ringed and named.
func (b Bar) stages(u *ui.UI, in paper.Rect) {
	sc, t, y := u.Scene(), u.Theme, in.Centre().Y
	at := func(n int) paper.Point { return paper.Point{X: in.X + 8 + float64(n-1)*knotStep, Y: y} }
	first, last := at(1), at(guide.Stages)
	sc.Line(first.X, y, last.X, y, 2, t.Edge)
	for n := 1; n <= guide.Stages; n++ {
		switch {
		case n < b.Stage:
			shape.Disc(sc, at(n), 5, t.Ink)
		case n == b.Stage:
			shape.Disc(sc, at(n), 8, t.Act)
			shape.Disc(sc, at(n), 3, t.OnAct)
		default:
			shape.Disc(sc, at(n), 5, t.Room)
			shape.Circle(sc, at(n), 4.2, 1.6, t.Edge)
		}
	}
	if w := u.Width(b.StageName, ui.SmallBold); last.X+18+w <= in.Right() {
		u.Label(paper.Rect{X: last.X + 18, Y: in.Y, W: w, H: in.H}, b.StageName, ui.SmallBold, ui.Start)
	}
}

// drawNarrow draws the bar with the menu alone. It reports whether there was room for the
// warning, before which the title gives way.
func (b Bar) drawNarrow(u *ui.UI, r paper.Rect, out *wish.List) (warned bool) {
	in := paper.Rect{X: 12, Y: r.Y + (r.H-barButton*u.Text)/2, W: r.W - 24, H: barButton * u.Text}
	menu := b.Buttons[0]
	w, _ := u.ButtonSize(menu.Label, in.W)
	place, in := in.CutRight(max(w, barButton))
	if u.Button(menu.ID, place, menu.Label, menu.Look) {
		out.Add(menu.Wish)
	}
	_, in = in.CutRight(8)
	if b.Warning != "" {
		few := b.Facts[max(0, len(b.Facts)-2)]
		left, rest := in.CutLeft(u.Width(few, ui.Quiet) + 10)
		if b.warn(u, rest) {
			u.Label(left, few, ui.Quiet, ui.Start)
			return true
		}
	}
	title := u.Width(b.Title, ui.Strong) + 8
	few := b.Facts[min(1, len(b.Facts)-1)]
	if wide := u.Width(few, ui.Quiet); title+wide <= in.W {
		ui.Headline(u, paper.Rect{X: in.X, Y: in.Y, W: title, H: in.H}, b.Title)
		u.Label(paper.Rect{X: in.X + title, Y: in.Y, W: wide, H: in.H}, few, ui.Quiet, ui.Start)
		return false
	}
	b.facts(u, in)
	return false
}

// tools are the other buttons, where the bar has no room for them.
func (b Bar) tools(c *ui.Column, out *wish.List) {
	c.Flow(func(f *ui.Flow) {
		for _, b := range b.Buttons[1:] {
			if f.Button(b.ID, b.Label, b.Look) {
				out.Add(b.Wish)
			}
		}
	})
}
