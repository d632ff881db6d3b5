package chairside

import (
	"math"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/paper"
)

// Grid is where the parts of a chair's screen are. Nothing that is asked, answered,
// put in, taken out or looked at moves any of them.
type Grid struct {
	Bar, Rail, Rack, Box, Sill, Nose paper.Rect // above the edge of the desk, what is; the rack is empty where it is narrow
	Desk                             paper.Rect // from its edge down
	Talk, Side                       paper.Rect // on the desk: what is said, and what it means
	Split                            bool       // the tray lies on the desk, where also the conoid is
}

// measures are what the grid is made of, logical pixels.
type measures struct {
	bar, rack, desk float64
	nose            float64 // least width of the nose's column
	gap             float64 // between wall and nose
	sill            float64
}

const (
	sillHigh = 44
	around   = 18 // what the gaps around card and sill take of the height
	least    = 1180
)

// measuresOf are those of a window: a large screen has all charts in the rack, a small
// one has none.
func measuresOf(w, h float64) measures {
	switch {
	case w >= 1600 && h >= 800:
		return measures{56, 112, 348, 648, 24, sillHigh}
	case w >= least:
		return measures{48, 84, 186, 600, 16, sillHigh}
	}
	return measures{48, 0, 186, math.Round(w * narrowNose), 16, sillHigh}
}

// GridOf is the grid of a window. What the card leaves of the height goes to the
// desk; with lefthanded the lenses are on the left.
func GridOf(w, h float64, lefthanded bool) Grid { return measuresOf(w, h).grid(w, h, lefthanded) }

// grid is the grid of a window by these measures.
func (m measures) grid(w, h float64, lefthanded bool) Grid {
	x := float64(desk.Gap)
	if m.rack > 0 {
		x += m.rack + 8
	}
	high := h - m.bar - m.sill - around - m.desk
	wide := min(math.Round(high*sight.Aspect), w-x-2*desk.Gap-m.nose)
	high = math.Round(wide / sight.Aspect)
	g := Grid{
		Bar:  paper.Rect{W: w, H: m.bar},
		Rail: paper.Rect{X: desk.Gap, Y: m.bar, W: x + wide - desk.Gap, H: 4},
		Rack: paper.Rect{X: desk.Gap, Y: m.bar + 8, W: m.rack, H: high - 4},
		Box:  paper.Rect{X: x, Y: m.bar + 4, W: wide, H: high},
	}
	g.Sill = paper.Rect{X: x, Y: g.Box.Bottom() + 6, W: wide, H: m.sill}
	x = g.Box.Right() + m.gap
	g.Nose = paper.Rect{X: x, Y: g.Box.Y, W: w - x - desk.Gap, H: high + 6 + m.sill}
	top := g.Sill.Bottom() + 8
	g.Desk = paper.Rect{Y: top, W: w, H: h - top}
	g.Talk = paper.Rect{X: desk.Gap, Y: top + 12, W: g.Box.Right() - desk.Gap, H: h - top - 24}
	g.Side = paper.Rect{X: x, Y: top + 12, W: g.Nose.W, H: h - top - 24}
	if lefthanded {
		g.mirror(w)
	}
	return g
}

// narrowNose is the share of a window that the nose's column has where there is no rack.
const narrowNose = 0.38

// Where the tray lies on the desk: the width from which both parts of a sill stand in one
// row, the least that the desk has to have for a tray in one column and in two, and the
// width of two.
const (
	sillInARow           = 900
	oneColumn, twoColumn = 24 + sideTabs + nose.TrayHigh, 24 + sideTabs + nose.TrayHighWide
	twoWide              = nose.TrayWide + 8
)

// SplitOf is the grid of a window with text of a size in which the nose's column has the
// portrait alone, and the tray lies beside the conoid; of two the one with the larger card.
func SplitOf(w, h, text float64, lefthanded bool) Grid {
	m := measuresOf(w, h)
	if m.rack == 0 && w < sillInARow {
		m.sill = 2*sillHigh + 8
	}
	one, two := m, m
	one.nose, one.desk = math.Round(w*narrowNose), oneColumn*text
	two.nose, two.desk = twoWide*text, twoColumn*text
	g, wide := one.grid(w, h, lefthanded), two.grid(w, h, lefthanded)
	if wide.Box.W > g.Box.W {
		g = wide
	}
	g.Split = true
	return g
}

// mirror has the nose and the meaning on the left, wall and talk on the right.
func (g *Grid) mirror(w float64) {
	by := w - desk.Gap - g.Box.Right()
	for _, r := range []*paper.Rect{&g.Rail, &g.Rack, &g.Box, &g.Sill, &g.Talk} {
		r.X += by
	}
	g.Nose.X, g.Side.X = desk.Gap, desk.Gap
}

// Told is where the talk's parts are on the desk.
type Told struct {
	Asks, Answer paper.Rect
	Led          paper.Rect // the slip with what the guide advises, or the questions in its place
	Aside        paper.Rect // what leads from the slip to the questions, and back
	SoFar        paper.Rect // empty where there is no room for it
}

// leastSoFar is the least height in which it makes sense to list what was said.
const leastSoFar = 62

// leastBubble is the width of a talk from which something can stand at the end of the
// answer's bubble.
const leastBubble = 540

// ToldIn parts the talk's place: the answer under the questions, or the slip under
// the answer. A large desk has what was said so far beside them.
func ToldIn(r paper.Rect, text float64, led bool) (t Told) {
	beside, row := r.W > 1000 && r.H > 260, 44*text
	if r.W < leastBubble && r.H > 320*text { // two rows
		row = 2*row + 14*text
	}
	if !led {
		t.Asks, r = r.CutTop(row)
		_, r = r.CutTop(16)
	}
	column := r
	if beside {
		column, t.SoFar = r.CutLeft(math.Round(r.W * 0.56))
		_, t.SoFar = t.SoFar.CutLeft(24)
	}
	if led {
		t.Answer, column = column.CutTop(min(max(math.Round(r.H*0.4), 85), 120))
		_, column = column.CutTop(6)
		t.Led, column = column.CutTop(min(column.H, 112))
		t.Asks = paper.Rect{X: t.Led.X, Y: t.Led.Y + min(10, t.Led.H-row-8), W: t.Led.W, H: row}
		if t.Aside = (paper.Rect{X: t.Answer.Right() - asideWide - 4, Y: t.Answer.Y + (t.Answer.H-48)/2, W: asideWide, H: 48}); r.W < leastBubble && column.H >= 44*text+4 {
			_, column = column.CutTop(4) // the answer has no width to give
			t.Aside, column = column.CutTop(44 * text)
		}
	} else {
		t.Answer, column = column.CutTop(min(column.H, 112))
	}
	if _, under := column.CutTop(12); !beside && under.H >= leastSoFar {
		t.SoFar = under
	}
	return t
}
