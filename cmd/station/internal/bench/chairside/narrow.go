package chairside

import (
	"math"

	"conoid/cmd/station/internal/bench/conoid"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// tab is which part is in the panel, where there is room for one only.
type tab uint8

const (
	askTab tab = iota
	lensTab
	conoidTab
	saidTab
)

// Tabbed is where the parts are where only one of them has room beside wall and
// answer.
type Tabbed struct{ Bar, Rail, Box, Sill, Answer, Tabs, Panel, Dock, Desk paper.Rect }

// tabbedEdge is the room beside the parts.
const tabbedEdge = 12

// TabbedIn is that of a window, with text so many times as large as usual and a dock
// of a height. Beside has panel and dock beside the wall.
func TabbedIn(win paper.Rect, text, dock float64, beside bool) (t Tabbed) {
	const edge = tabbedEdge
	t.Bar, win = win.CutTop(48 * text)
	left := paper.Rect{X: edge, Y: win.Y, W: win.W - 2*edge, H: win.H}
	if beside {
		left.W = math.Round(win.W*0.5) - 1.5*edge
	}
	answer := min(116*text, left.H*0.3)
	wide := left.W
	if beside {
		wide = min(wide, (left.H-sillHigh*text-answer-30)*sight.Aspect)
	}
	t.Rail = paper.Rect{X: edge, Y: win.Y + 2, W: left.W, H: 4}
	t.Box = paper.Rect{X: edge + math.Round((left.W-wide)/2), Y: win.Y + 6, W: wide, H: math.Round(wide / sight.Aspect)}
	t.Sill = paper.Rect{X: edge, Y: t.Box.Bottom() + 6, W: left.W, H: sillHigh * text}
	t.Answer = paper.Rect{X: edge, Y: t.Sill.Bottom() + 8, W: left.W, H: answer}
	t.Desk = paper.Rect{Y: t.Answer.Bottom() + 10, W: win.W, H: win.Bottom() - t.Answer.Bottom() - 10}
	if beside {
		x := left.Right() + edge
		t.Desk = paper.Rect{X: x, Y: win.Y, W: win.Right() - x, H: win.H}
	}
	inner := t.Desk
	_, inner = inner.CutTop(4)
	t.Tabs, inner = inner.CutTop(44 * text)
	t.Dock, inner = inner.CutBottom(dock)
	t.Panel = paper.Rect{X: inner.X + edge, Y: inner.Y + 6, W: inner.W - 2*edge, H: inner.H - 12}
	return t
}

// narrow is a frame in whose window the parts do not fit beside one another.
type narrow struct{ frame }

// tabbed draws wall and answer, and below or beside them one part at a time with the
// next step under it.
func (f narrow) tabbed(beside bool) {
	u, w := f.u, f.w
	g := TabbedIn(u.Window(), u.Text, f.dockHeight(beside), beside)
	if w.Bar.drawNarrow(u, g.Bar, f.out) {
		f.w.Notice = desk.Said{}
	}
	f.above(g)
	f.u.Region(f.v.Text("bench.region.talk"))
	f.narrowAnswer(g.Answer)
	u.Scene().Box(g.Desk, 0, u.Theme.Desk)
	u.Scene().Box(paper.Rect{X: g.Desk.X, Y: g.Desk.Y, W: g.Desk.W, H: 3}, 0, u.Theme.Wood)
	f.u.Region("")
	f.tabs(g.Tabs, f.parts())
	f.panel(g.Panel, g.Box.W/max(1, w.Wall.Window.Width))
	f.u.Region(f.v.Text("bench.region.talk"))
	f.dock(g.Dock)
}

// above draws the wall, or the frame in its place.
func (f narrow) above(g Tabbed) {
	u, w := f.u, f.w
	wall.Rail(u, g.Rail)
	if w.Nose.Near {
		u.Region(f.v.Text("bench.region.lenses"))
		place := paper.Rect{X: g.Sill.X, Y: g.Box.Y, W: g.Sill.W, H: g.Sill.Bottom() - g.Box.Y}
		nose.Near(u, f.v, place, w.Nose, f.out)
		f.notice(place)
		if ui.TakeFree(u, ui.Escape) {
			f.out.Add(wish.Lean{Back: true})
		}
		return
	}
	u.Region(f.v.Text("bench.region.wall"))
	wall.Card(u, f.v, g.Box, w.Wall, f.out)
	f.notice(g.Box)
	wall.Bench(u, f.v, g.Sill, w.Wall, f.out)
}

// dockHeight is how high the dock is: of who is led as high as the reason asks, within
// limits.
func (f narrow) dockHeight(beside bool) float64 {
	text := f.u.Text
	if f.expecting() != nil || f.w.Asking == nil {
		return 0
	}
	if f.w.led() == nil {
		return 62 * text
	}
	wide := f.u.Window().W
	if beside {
		wide /= 2
	}
	return min(max(104*text, talk.DockHeight(f.u, wide-28, *f.w.led())+18), 190*text)
}

// narrowAnswer is the answer, without room for more beside the face.
func (f narrow) narrowAnswer(r paper.Rect) {
	waiting := ""
	if f.w.Asking != nil {
		waiting = f.w.Asking.Waiting
	}
	b := talk.BubbleIn(r, min(56*f.u.Text, r.H), 0)
	f.portrait(b.Face)
	b.Draw(f.u, f.v, f.w.Talk, waiting)
}

// choice is a part to choose.
type choice struct {
	tab       tab
	id, label string
}

// parts are what can be in the panel.
func (f frame) parts() []choice {
	all := []choice{
		{askTab, "tab ask", f.v.Text("bench.tab.ask")}, {lensTab, "tab lenses", f.v.Text("bench.tab.lenses")},
		{conoidTab, "tab conoid", f.v.Text("bench.tab.conoid")}, {saidTab, "tab said", f.v.Text("bench.tab.said")},
	}
	if f.w.Conoid == nil {
		all = append(all[:2:2], all[3])
		if f.tab == conoidTab {
			f.tab = askTab
		}
	}
	return all
}

// tabs draws what there is to choose from.
func (f frame) tabs(r paper.Rect, all []choice) {
	wide := r.W / float64(len(all))
	for i, t := range all {
		place := paper.Rect{X: r.X + float64(i)*wide, Y: r.Y, W: wide, H: r.H}
		style := ui.Quiet
		if f.tab == t.tab {
			style = ui.Strong
			f.u.Scene().Box(paper.Rect{X: place.X + 14, Y: place.Bottom() - 4, W: wide - 28, H: 3}, 0, f.u.Theme.Ink)
		}
		if f.u.Sign(true, t.id, place, "", t.label, ui.Bare) && f.tab != t.tab {
			f.tab = t.tab
			f.u.Unsettle()
		}
		f.u.Words(place, t.label, style, ui.Middle)
	}
}

// panel draws the part that is chosen.
func (f narrow) panel(r paper.Rect, pixels float64) {
	switch f.tab {
	case askTab:
		f.u.Region(f.v.Text("bench.region.talk"))
		f.d.Column("ask", r, func(c *ui.Column) { f.asking(c, pixels) })
	case lensTab:
		f.u.Region(f.v.Text("bench.region.lenses"))
		if nose.FitsSmall(f.u, r) {
			nose.Draw(f.u, f.v, r, f.w.Nose, f.out)
			return
		}
		r.X, r.W = r.X-4, r.W+4+tabbedEdge // the bar has its place beside it
		f.d.Column("nose", r, func(c *ui.Column) { f.nose(c, 0) })
	case conoidTab:
		f.meaning(r)
	case saidTab:
		f.u.Region(f.v.Text("bench.region.talk"))
		talk.SoFar(f.u, f.v, r, f.w.Talk)
	}
}

// asking is what can be asked, but for what is in the dock, and what the chart is
// turned by.
func (f narrow) asking(c *ui.Column, pixels float64) {
	u := f.u
	switch {
	case f.controls != nil:
		f.controls(c)
	case f.expecting() != nil:
		talk.ExpectIn(u, f.v, c, *f.expecting(), f.out)
		return
	case f.w.led() != nil:
		talk.AskList(u, f.v, c, *f.w.Asking, 0, f.out)
	default:
		talk.AskList(u, f.v, c, *f.w.Asking, 1, f.out)
	}
	c.Gap(8)
	wall.Turns(u, f.v, c, f.w.Wall, pixels, f.out)
}

// dock draws the next step.
func (f narrow) dock(r paper.Rect) {
	if r.Empty() {
		return
	}
	u := f.u
	u.Scene().Box(r, 0, u.Theme.Sheet)
	u.Scene().Box(paper.Rect{X: r.X, Y: r.Y, W: r.W, H: 2}, 0, u.Theme.Edge)
	in := paper.Rect{X: r.X + 14, Y: r.Y + 7, W: r.W - 28, H: r.H - 18}
	switch {
	case f.w.led() != nil:
		u.Scene().Box(paper.Rect{X: r.X, Y: r.Y, W: r.W, H: 3}, 0, u.Theme.Act)
		talk.Dock(u, in, *f.w.led(), f.out)
	case !talk.AskFirst(u, f.v, in, *f.w.Asking, f.out):
		u.Label(in, f.v.Text("bench.talk.nochart"), ui.Note, ui.Middle)
	}
}

// lastSaid is how much of the talk stands above the rest where there is little
// room.
const lastSaid = 3

// stack keeps the wall in view and has the rest below one another: for windows in
// which text is so large that nothing fits beside anything.
func (f narrow) stack() {
	u := f.u
	bar, rest := u.Window().CutTop(48 * u.Text)
	if f.w.Bar.drawNarrow(u, bar, f.out) {
		f.w.Notice = desk.Said{}
	}
	rest = paper.Rect{X: 8, Y: rest.Y + 4, W: rest.W - 16, H: rest.H - 8}
	var card, below paper.Rect
	if rest.W > rest.H {
		card, below = rest.CutLeft(rest.W * 0.45)
		_, below = below.CutLeft(12)
		if f.w.Left {
			below.X, card.X = rest.X, rest.X+below.W+12
		}
	} else {
		card, below = rest.CutTop(rest.W / sight.Aspect)
		_, below = below.CutTop(8)
	}
	card.H = card.W / sight.Aspect
	f.u.Region(f.v.Text("bench.region.wall"))
	wall.Card(u, f.v, card, f.w.Wall, f.out)
	f.d.Column("stack", below, func(c *ui.Column) { f.stacked(c, card.W/max(1, f.w.Wall.Window.Width)) })
}

// stacked is everything but the card.
func (f narrow) stacked(c *ui.Column, pixels float64) {
	u, w := f.u, f.w
	wall.Listed(u, f.v, c, w.Wall, f.out)
	w.Bar.tools(c, f.out)
	f.u.Region(f.v.Text("bench.region.talk"))
	desk.ShowNotice(u, c, w.Notice)
	talk.Said(c, w.Talk, lastSaid)
	switch {
	case f.controls != nil:
		f.controls(c)
	case f.expecting() != nil:
		talk.ExpectIn(u, f.v, c, *f.expecting(), f.out)
	case w.led() != nil:
		talk.Advise(c, *w.led(), f.out)
		c.Rule()
		fallthrough
	default:
		talk.AskList(u, f.v, c, *w.Asking, 0, f.out)
	}
	wall.Turns(u, f.v, c, w.Wall, pixels, f.out)
	c.Rule()
	f.u.Region(f.v.Text("bench.region.lenses"))
	f.nose(c, 0)
	if w.Conoid != nil {
		c.Rule()
		f.meaning(c.Block(conoid.Height * u.Text))
	}
	c.Rule()
	f.u.Region(f.v.Text("bench.region.talk"))
	talk.Said(c, w.Talk, len(w.Talk.Entries))
}
