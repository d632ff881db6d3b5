package home

import (
	"math"
	"strconv"
	"strings"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/fact"
)

// benches seats the people of the library on a bench for each level.
func (p *page) benches(c *ui.Column) {
	u := p.d.UI
	least := 118 * u.Text // a card with its face above its name
	switch gap := 10.0; {
	case p.large && c.W >= 4*(236*u.Text)+3*20:
		p.columns(c)
	case c.W >= 6*least+5*gap:
		p.rows(c, 2)
	case c.W >= 3*least+2*gap:
		p.rows(c, 1)
	default:
		p.list(c)
	}
	if !p.tight {
		c.Gap(8)
	}
}

// on are the people of a level.
func (p *page) on(level int) (out []*cases.Case) {
	for _, c := range p.library {
		if c.Level == level {
			out = append(out, c)
		}
	}
	return out
}

func (p *page) level(level int) string { return p.v.Text("bench.level." + strconv.Itoa(level)) }

// besides is how large a face beside words is, logical pixels.
const besides = 84

// columns has a bench beside another, and what people say beside their faces.
func (p *page) columns(c *ui.Column) {
	u, sc := p.d.UI, p.d.UI.Scene()
	wide, bottom := (c.W-3*20)/4, c.Y
	high := max(besides+24+u.LineHeight(ui.Small)+8, p.tallest(wide))
	for level := 1; level <= cases.Levels; level++ {
		b := u.Column(c.X+float64(level-1)*(wide+20), c.Y, wide)
		b.Para(p.level(level), ui.Strong)
		b.Gap(2)
		sc.Box(b.Block(5), 2, u.Theme.Wood)
		b.Gap(10)
		for _, cs := range p.on(level) {
			p.sideCard(b.Block(high), cs)
			b.Gap(14)
		}
		bottom = max(bottom, b.Y)
	}
	c.Y = bottom
}

// tallest is how high a card with its words beside the face has to be.
func (p *page) tallest(wide float64) (high float64) {
	u := p.d.UI
	for _, cs := range p.library {
		t := cs.Texts(p.v.Language)
		h := u.ParaHeight(t.Title, wide-besides-36, ui.Strong) + u.ParaHeight(p.said(t.Symptoms), wide-besides-36, ui.Note)
		high = max(high, h+24+u.LineHeight(ui.Small)+8)
	}
	return high
}

// rows has so many benches beside one another, each below its people.
func (p *page) rows(c *ui.Column, abreast int) {
	u, sc := p.d.UI, p.d.UI.Scene()
	const gap = 10.0
	each := 3 * abreast
	wide := math.Floor((c.W - float64(each-1)*gap) / float64(each))
	portrait, high := p.faceCard(wide)
	for level := 1; level <= cases.Levels; level += abreast {
		bottom := c.Y
		for k := range min(abreast, cases.Levels-level+1) {
			b := u.Column(c.X+float64(3*k)*(wide+gap), c.Y, 3*wide+2*gap)
			b.Para(p.level(level+k), ui.SmallBold)
			b.Gap(3)
			people := p.on(level + k)
			for len(people) > 0 {
				row := b.Block(high)
				row.W = wide
				for _, cs := range people[:min(3, len(people))] {
					p.card(row, cs, portrait)
					row.X += wide + gap
				}
				people = people[min(3, len(people)):]
				sc.Box(paper.Rect{X: b.X - 1, Y: b.Y + 2, W: b.W + 2, H: 5}, 2, u.Theme.Wood)
				b.Gap(11)
			}
			bottom = max(bottom, b.Y)
		}
		c.Y = bottom
	}
}

// list has one below the other, where there is room for nothing else.
func (p *page) list(c *ui.Column) {
	u := p.d.UI
	for level := 1; level <= cases.Levels; level++ {
		c.Para(p.level(level), ui.Strong)
		c.Gap(2)
		u.Scene().Box(c.Block(5), 2, u.Theme.Wood)
		c.Gap(6)
		for _, cs := range p.on(level) {
			text := u.ParaHeight(cs.Texts(p.v.Language).Title, c.W-56-36, ui.Strong) + u.LineHeight(ui.Small)
			p.rowCard(c.Block(max(56, text)+16), cs)
			c.Gap(8)
		}
		c.Gap(4)
	}
}

// faceCard is how large a face above a name is, logical pixels, and how high a card
// with both has to be. Where there is little height, long names make faces smaller.
func (p *page) faceCard(wide float64) (portrait, high float64) {
	u, lines := p.d.UI, 0.0
	for _, cs := range p.library {
		lines = max(lines, u.ParaHeight(cs.Texts(p.v.Language).Title, wide-8, ui.SmallBold))
	}
	portrait = 72
	if lh := u.LineHeight(ui.Small); p.tight {
		portrait = max(48, portrait-max(0, lines-2*lh))
	}
	return portrait, portrait + 14 + lines + u.LineHeight(ui.Small) + 5
}

// card is one of the people: the face above the name, and what was reached below.
func (p *page) card(r paper.Rect, cs *cases.Case, portrait float64) {
	u := p.d.UI
	p.pressed(r, cs)
	face.Draw(u, paper.Rect{X: r.X + (r.W-portrait)/2, Y: r.Y + 8, W: portrait, H: portrait}, personOf(cs), face.Opts{})
	lh := u.LineHeight(ui.Small)
	text := paper.Rect{X: r.X + 4, Y: r.Y + portrait + 11, W: r.W - 8, H: r.H - portrait - 11 - lh}
	ui.Lines(u, text, cs.Texts(p.v.Language).Title, ui.SmallBold, ui.Middle)
	text.Y, text.H = r.Bottom()-lh-4, lh
	u.Words(text, p.reached(cs, false), ui.Small, ui.Middle)
}

// sideCard is one of the people, with what they say beside the face.
func (p *page) sideCard(r paper.Rect, cs *cases.Case) {
	u, t := p.d.UI, cs.Texts(p.v.Language)
	p.pressed(r, cs)
	face.Draw(u, paper.Rect{X: r.X + 12, Y: r.Y + 12, W: besides, H: besides}, personOf(cs), face.Opts{})
	lh := u.LineHeight(ui.Small)
	text := paper.Rect{X: r.X + besides + 24, Y: r.Y + 12, W: r.W - besides - 36, H: r.H - 24 - lh}
	used := ui.Lines(u, text, t.Title, ui.Strong, ui.Start)
	text.Y, text.H = text.Y+used, text.H-used
	ui.Lines(u, text, p.said(t.Symptoms), ui.Note, ui.Start)
	u.Words(paper.Rect{X: r.X + 12, Y: r.Bottom() - lh - 6, W: r.W - 24, H: lh}, p.reached(cs, true), ui.Small)
}

// said is the first sentence of what somebody complains of.
func (p *page) said(symptoms string) string {
	text := strings.Join(strings.Fields(symptoms), " ")
	if text == "" {
		return ""
	}
	for i := range len(text) - 1 {
		if strings.ContainsRune(".?!", rune(text[i])) && text[i+1] == ' ' {
			text = text[:i+1]
			break
		}
	}
	return p.v.Text("bench.home.said", "text", text)
}

// rowCard is one of the people in a list.
func (p *page) rowCard(r paper.Rect, cs *cases.Case) {
	u := p.d.UI
	p.pressed(r, cs)
	face.Draw(u, paper.Rect{X: r.X + 8, Y: r.Y + (r.H-56)/2, W: 56, H: 56}, personOf(cs), face.Opts{})
	title, lh := cs.Texts(p.v.Language).Title, u.LineHeight(ui.Small)
	text := paper.Rect{X: r.X + 76, W: r.W - 92, H: r.H}
	th := u.ParaHeight(title, text.W, ui.Strong)
	text.Y = r.Y + (r.H-th-lh)/2
	ui.Lines(u, text, title, ui.Strong, ui.Start)
	u.Words(paper.Rect{X: text.X, Y: text.Y + th, W: text.W, H: lh}, p.reached(cs, true), ui.Small)
}

// pressed introduces somebody whose card was pressed. Who was left has an outline.
func (p *page) pressed(r paper.Rect, cs *cases.Case) {
	u, name := p.d.UI, cs.Texts(p.v.Language).Title
	if what := p.reached(cs, false); what != "" {
		name += " · " + what
	}
	if ui.Card(u, "case "+cs.ID, r, name) {
		p.next = desk.Open{Overlay: introduction{c: cs, left: p.leftWith(cs)}}
	}
	if p.leftWith(cs) != nil {
		u.Scene().Frame(r, 10, 2, u.Theme.Ink)
	}
}

// reached is what was reached with somebody, or that they were left; whole says that
// nobody saw them yet.
func (p *page) reached(cs *cases.Case, whole bool) string {
	if l := p.leftWith(cs); l != nil {
		return p.v.Text("bench.home.goon", "clock", l.Notes.Clock)
	}
	best, ok := p.d.History.Best(cs.ID)
	switch {
	case ok && best.Help == chair.Led:
		return p.v.Text("bench.home.best.led", "left", fact.Amount(best.Left))
	case ok:
		return p.v.Text("bench.home.best", "left", fact.Amount(best.Left))
	case whole:
		return p.v.Text("bench.home.unseen")
	}
	return ""
}

// leftWith is the sitting that was left last with somebody of the library.
func (p *page) leftWith(cs *cases.Case) *seat.Left {
	for i, l := range p.left {
		if l.Notes.ID == cs.ID && l.Notes.Sealed == "" {
			return &p.left[i]
		}
	}
	return nil
}
