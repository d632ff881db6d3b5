package chairside

import (
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// Bar is the line at the top.
type Bar struct {
	Title      string
	Facts, Few string // the same, and in few words
	Buttons    []Button
}

// Button is a button in the bar; they stand from right to left, the menu first.
type Button struct {
	ID, Label string
	Look      ui.Look
	Wish      wish.Wish
}

// back draws what the bar is made of.
func back(u *ui.UI, r paper.Rect) {
	u.Scene().Box(r, 0, u.Theme.Sheet)
}

func (b Bar) draw(u *ui.UI, r paper.Rect, out *wish.List) {
	back(u, r)
	u.Scene().Box(paper.Rect{X: r.X, Y: r.Bottom() - 1, W: r.W, H: 1}, 0, u.Theme.Rule)
	in := paper.Rect{X: desk.Gap, Y: r.Y + 8, W: r.W - 2*desk.Gap, H: u.RowHeight()}
	for _, b := range b.Buttons {
		w, _ := u.ButtonSize(b.Label, in.W)
		var place paper.Rect
		place, in = in.CutRight(w)
		_, in = in.CutRight(8)
		if u.Button(b.ID, place, b.Label, b.Look) {
			out.Add(b.Wish)
		}
	}
	if fw := u.Width(b.Facts, ui.Quiet); u.Width(b.Title, ui.Strong)+fw+24 <= in.W {
		u.Label(paper.Rect{X: in.X, Y: in.Y, W: in.W - fw - 12, H: in.H}, b.Title, ui.Strong, ui.Start)
		u.Label(paper.Rect{X: in.Right() - fw, Y: in.Y, W: fw, H: in.H}, b.Facts, ui.Quiet, ui.Finish)
		return
	}
	b.facts(u, in)
}

// facts writes as many of the facts as there is room for.
func (b Bar) facts(u *ui.UI, in paper.Rect) {
	for _, f := range []string{b.Facts, b.Few} {
		if u.Width(f, ui.Quiet) <= in.W {
			u.Label(in, f, ui.Quiet, ui.Start)
			return
		}
	}
}

func (b Bar) drawNarrow(u *ui.UI, r paper.Rect, out *wish.List) {
	back(u, r)
	in := paper.Rect{X: 8, Y: r.Y + 4, W: r.W - 16, H: u.RowHeight()}
	menu := b.Buttons[0]
	w, _ := u.ButtonSize(menu.Label, in.W)
	place, in := in.CutRight(w)
	if u.Button(menu.ID, place, menu.Label, menu.Look) {
		out.Add(menu.Wish)
	}
	b.facts(u, in)
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
