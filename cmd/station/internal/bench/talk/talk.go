package talk

import (
	"fmt"
	"slices"

	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// SoFar draws all that was said, the newest first, with its heading.
func SoFar(u *ui.UI, v voice.Voice, r paper.Rect, t View) {
	head, list := r.CutTop(u.LineHeight(ui.Small) + 4)
	u.Label(paper.Rect{X: head.X, Y: head.Y, W: head.W, H: u.LineHeight(ui.Small)}, v.Text("bench.talk.sofar"), ui.SmallBold, ui.Start)
	List(u, list, t)
}

// List draws the same without a heading.
func List(u *ui.UI, r paper.Rect, t View) {
	x, y, w := u.Scroll("talk", r, false)
	c := u.Column(x, y, w)
	for _, e := range slices.Backward(t.Entries) {
		e.draw(c)
		c.Gap(3)
		u.Scene().Box(paper.Rect{X: c.X, Y: c.Y, W: c.W, H: 1}, 0, u.Theme.Rule)
		c.Gap(4)
	}
	introduce(c, t)
	u.EndScroll(c.Y + 8)
}

// Said draws the last entries of the talk in a column, newest at the bottom.
func Said(c *ui.Column, t View, last int) {
	if len(t.Entries) == 0 {
		introduce(c, t)
		return
	}
	if last >= len(t.Entries) {
		introduce(c, t)
		c.Rule()
	}
	for _, e := range t.Entries[max(0, len(t.Entries)-last):] {
		e.draw(c)
		c.Gap(5)
	}
}

// draw draws what is told of an event; lines of a table stand in columns where
// there is room for them.
func (e Entry) draw(c *ui.Column) {
	for i := 0; i < len(e); i++ {
		var rows [][]string
		for _, l := range e[i:] {
			if len(l.Cells) < 2 {
				break
			}
			rows = append(rows, l.Cells)
		}
		if len(rows) > 0 && c.Table(rows, e[i].Style) {
			i += len(rows) - 1
			continue
		}
		c.Para(e[i].Text, e[i].Style)
	}
}

// introduce tells who sits there.
func introduce(c *ui.Column, t View) {
	for i, l := range t.Intro {
		if i > 0 {
			c.Gap(4)
		}
		c.Para(l.Text, l.Style)
	}
}

// Slip draws what the guide advises: why, and the one press that does it.
func Slip(u *ui.UI, r paper.Rect, a Advice, out *wish.List) {
	u.Scene().Box(paper.Rect{X: r.X, Y: r.Y, W: 6, H: r.H}, 3, u.Theme.Act)
	_, in := r.CutLeft(18)
	if len(a.Steps) > 0 {
		act, text := in.CutRight(min(u.Width(a.Steps[0].Label, ui.Strong)+32, in.W*0.36))
		high := max(44, u.ParaHeight(a.Steps[0].Label, act.W-24, ui.Strong)+4) // it may take two lines
		act.Y, act.H = act.Y+max(0, (r.H-high-8)/2), high
		step(u, act, a, out)
		_, in = text.CutRight(16)
	}
	reason(u, in, a)
}

// reason writes why: with the stage it belongs to where there is room for that.
func reason(u *ui.UI, r paper.Rect, a Advice) {
	lines := []Line{{Text: a.Head, Style: ui.Strong}, {Text: a.Text, Style: ui.Body}}
	if height(u, lines, r.W) > r.H {
		lines = small(a)
	}
	high := height(u, lines, r.W)
	x, y, w := u.Scroll("reason", r, false)
	c := u.Column(x, y+max(0, (r.H-high)/2), r.W)
	if high > r.H {
		c.W = w
	}
	for _, l := range lines {
		c.Para(l.Text, l.Style)
	}
	u.EndScroll(c.Y)
}

// small is the reason where there is little room.
func small(a Advice) []Line { return []Line{{Text: a.Text, Style: ui.Small}} }

// step draws the one press.
func step(u *ui.UI, r paper.Rect, a Advice, out *wish.List) {
	if u.Button("guide 0", r, a.Steps[0].Label, ui.First) {
		out.Add(a.Steps[0].Wish)
	}
}

// DockHeight is how high Dock wants to be in a width.
func DockHeight(u *ui.UI, w float64, a Advice) float64 {
	return height(u, small(a), w) + 52*u.Text
}

// Dock draws the same where it is narrow: the reason above, the press below it.
func Dock(u *ui.UI, r paper.Rect, a Advice, out *wish.List) {
	press, text := r.CutBottom(48 * u.Text)
	if len(a.Steps) > 0 {
		step(u, press, a, out)
	}
	_, text = text.CutBottom(4)
	reason(u, text, a)
}

// Advise draws an advice with a button for each thing to do.
func Advise(c *ui.Column, a Advice, out *wish.List) {
	c.Para(a.Head, ui.Strong)
	c.Gap(2)
	c.Para(a.Text, ui.Body)
	c.Gap(6)
	c.Flow(func(f *ui.Flow) {
		for i, s := range a.Steps {
			if f.Button(fmt.Sprintf("guide %d", i), s.Label, leading(i)) {
				out.Add(s.Wish)
			}
		}
	})
}

// leading makes the first of several buttons the one that leads on.
func leading(i int) ui.Look {
	if i == 0 {
		return ui.Primary
	}
	return ui.Plain
}
