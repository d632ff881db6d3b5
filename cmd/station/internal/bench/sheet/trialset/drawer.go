package trialset

import (
	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// The case, logical pixels at a text size of 100 %: its wooden edge, the line that names
// a compartment, a row of lenses, and the largest lens.
const (
	edge     = 8
	nameHigh = 26
	rowOf    = 104
	largest  = 33
)

// slots are how the lenses of a compartment lie: how many in a row, and the radius.
type slots struct {
	across int // compartments beside one another
	row    int // lenses in a row of one
	radius float64
}

// arranged finds the slots in a width: compartments stand beside one another, with two
// lenses in a row, or below one another where the text is large.
func (p drawing) arranged(w float64, compartments int) slots {
	k := p.u.Text
	least := max(target*k, p.u.Width(p.v.Value(fact.Power(-20)), ui.SmallBold)+8)
	if each := w / float64(2*compartments); each >= least+2 {
		return slots{compartments, 2, min(largest*k, each/2-2)}
	}
	row := max(1, min(4, int(w/(least+2))))
	return slots{1, row, min(largest*k, w/float64(row)/2-2)}
}

// box draws the compartments in the window, as lenses lie in their case.
func (p drawing) box(width float64) {
	all := p.drawer(p.n.Set)
	some := shown(all, p.first)
	s := p.arranged(width-2*edge, len(some))
	r := p.c.Block(2*edge + p.high(s, all, some))
	r.W = width
	p.felt(r)
	place := r.Inset(edge)
	place.W /= float64(s.across)
	for i, part := range some {
		if s.across == 1 {
			place.H = p.highOf(s, len(part.powers))
		}
		if i > 0 {
			p.wood(place, s.across == 1)
		}
		p.compartment(place, part, s)
		if s.across == 1 {
			place.Y += place.H
		} else {
			place.X += place.W
		}
	}
	p.c.Gap(8)
}

// felt draws an empty case.
func (p drawing) felt(r paper.Rect) {
	p.u.Scene().Box(r, 10, p.u.Theme.WoodDeep)
	p.u.Scene().Box(r.Inset(edge), 6, p.u.Theme.Felt)
}

// lineHigh is the height of a row of lenses with their handles.
func (p drawing) lineHigh(s slots) float64 { return 2*s.radius + (rowOf-2*largest)*p.u.Text }

// highOf is the height of a compartment with so many lenses.
func (p drawing) highOf(s slots, lenses int) float64 {
	lines := (lenses + s.row - 1) / s.row
	return nameHigh*p.u.Text + float64(lines)*p.lineHigh(s)
}

// high is the height of all that is shown. Beside one another compartments are as high as
// the fullest of the case, so that nothing moves with the window.
func (p drawing) high(s slots, all, some []compartment) (high float64) {
	if s.across > 1 || len(all) == 1 {
		for _, part := range all {
			high = max(high, p.highOf(s, len(part.powers)))
		}
		return high
	}
	for _, part := range some {
		high += p.highOf(s, len(part.powers))
	}
	return high
}

// wood divides a compartment from the one before it.
func (p drawing) wood(r paper.Rect, below bool) {
	if below {
		p.u.Scene().Box(paper.Rect{X: r.X, Y: r.Y - 1, W: r.W, H: 3}, 0, p.u.Theme.WoodDeep)
		return
	}
	p.u.Scene().Box(paper.Rect{X: r.X - 3, Y: r.Y, W: 6, H: r.H}, 0, p.u.Theme.WoodDeep)
}

// compartment draws the lenses of a whole dioptre with their handles.
func (p drawing) compartment(r paper.Rect, part compartment, s slots) {
	k := p.u.Text
	p.u.Label(paper.Rect{X: r.X + 4, Y: r.Y + 3, W: r.W - 8, H: 20 * k}, p.number(part.whole), ui.SmallBold, ui.Middle)
	wide, high := r.W/float64(s.row), p.lineHigh(s)
	for i, power := range part.powers {
		col, line := i%s.row, i/s.row
		slot := paper.Rect{X: r.X + float64(col)*wide, Y: r.Y + nameHigh*k + float64(line)*high, W: wide, H: high}
		p.disc(slot, p.new(power), s.radius)
	}
}

// disc is a lens in its slot; the one that is in use already is said to be.
func (p drawing) disc(slot paper.Rect, l optics.Lens, radius float64) {
	u, k, t := p.u, p.u.Text, &p.u.Theme
	c := paper.Point{X: slot.Centre().X, Y: slot.Y + 16*k + radius}
	now := p.place.lens(p.n.Stands)
	uses := now.Kind == l.Kind && now.Power == l.Power
	hit := paper.Rect{X: slot.X + 1, Y: c.Y - radius - 1, W: slot.W - 2, H: slot.Bottom() - c.Y + radius}
	over, pressed := ui.Part(u, "lens "+optics.SphereOf(l.Power).Code(), hit, nose.Name(p.v, l), true, false)
	if uses || over {
		ground := paper.Rect{X: c.X - radius - min(8, slot.W/2-radius-1), Y: hit.Y - 2, H: 2*radius + 20*k + 3}
		ground.W = 2 * (c.X - ground.X)
		u.Scene().Box(ground, 10, t.Sheet)
		if uses {
			u.Scene().Frame(ground, 10, 2, t.Ink)
		}
	}
	p.handle(c, radius, l.Power)
	nose.Token(u, p.v, c, radius, l)
	if text := p.v.Text("bench.set.used"); uses && u.Width(text, ui.SmallBold) <= slot.W {
		u.Words(paper.Rect{X: slot.X, Y: slot.Y - 4*k, W: slot.W, H: 18 * k}, text, ui.SmallBold, ui.Middle)
	}
	u.Ring("lens "+optics.SphereOf(l.Power).Code(), hit)
	if pressed {
		p.pick(l)
	}
}

// handle draws the handle of a lens: red for minus, black for plus, as is common
// practice; the sign stands on the lens as well.
func (p drawing) handle(c paper.Point, radius, power float64) {
	sc, k, t := p.u.Scene(), p.u.Text, &p.u.Theme
	col := t.Black
	if power < 0 {
		col = t.Red
	}
	r := paper.Rect{X: c.X - 5*k, Y: c.Y + radius - 4, W: 10 * k, H: 18*k + 4}
	sc.Box(r.Inset(-1), 4, t.Steel)
	sc.Box(r, 3, col)
}

// pieces are the pinhole and the occluder.
func (p drawing) pieces() {
	u, c, k, t := p.u, p.c, p.u.Text, &p.u.Theme
	r := c.Block(2*edge + 150*k)
	p.felt(r)
	in := r.Inset(edge)
	for i, l := range []optics.Lens{optics.Pinhole(), optics.Occluder()} {
		slot := paper.Rect{X: in.X + float64(i)*in.W/2, Y: in.Y, W: in.W / 2, H: in.H}
		name, hit := nose.Name(p.v, l), slot.Inset(4)
		over, pressed := ui.Part(u, "piece "+l.Code(), hit, name, true, u.Width(name, ui.Body) > hit.W)
		used := p.place.lens(p.n.Stands) == l
		if over || used {
			u.Scene().Box(hit, 10, t.Sheet)
		}
		if used {
			u.Scene().Frame(hit, 10, 2, t.Ink)
		}
		mid := paper.Point{X: hit.Centre().X, Y: hit.Y + 54*k}
		p.handle(mid, 40*k, 1)
		nose.Token(u, p.v, mid, 40*k, l)
		u.Words(paper.Rect{X: hit.X, Y: hit.Bottom() - 26*k, W: hit.W, H: 24 * k}, name, ui.Body, ui.Middle)
		u.Ring("piece "+l.Code(), hit)
		if pressed {
			p.pick(l)
		}
	}
	c.Gap(8)
}
