package trialset

import (
	"math"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/fact"
)

// finder is what finds a lens: a ruler over the whole drawer with a window to drag, and a
// field to type a power in.
func (p drawing) finder() {
	p.entry()
	if all := p.drawer(p.n.Set); most(all) > 0 {
		p.ruler(all)
	}
}

// entry is the field for a power: what is typed comes into the window, and Enter takes it.
func (p drawing) entry() {
	u, c, k := p.u, p.c, p.u.Text
	all := p.drawer(p.n.Set)
	low, high := span(all)
	about := p.v.Text("bench.set.whole", "low", fact.Power(low), "high", fact.Power(high))
	label := p.v.Text("bench.set.type")
	wide := max(84*k, u.Width(p.v.Value(fact.Power(-20)), ui.Body)+24)
	words := u.Width(about, ui.SmallBold) + u.Width(label, ui.Note) + 32
	if words+wide > c.W {
		c.Para(about, ui.SmallBold)
		c.Gap(2)
		about = ""
	}
	r := c.Block(target * k)
	field, rest := r.CutRight(min(wide, r.W/2))
	_, rest = rest.CutRight(10)
	if about != "" {
		var words paper.Rect
		words, rest = rest.CutLeft(u.Width(about, ui.SmallBold) + 1)
		u.Label(words, about, ui.SmallBold, ui.Start)
		_, rest = rest.CutLeft(15)
	}
	p.aside(rest, label)
	changed, entered := u.Field("power", field, label, &p.power)
	c.Gap(6)
	l, err := typed(p.n.Set, p.place == hand, p.kind, p.power, p.axis)
	if changed {
		p.refused = nil
		if err == nil {
			p.first = around(all, l.Power)
			u.Unsettle()
		}
	}
	switch {
	case entered && err == nil:
		p.pick(l)
	case entered:
		p.refused = err
	}
}

// aside writes a quiet text at the end of a row, in lines where it needs them.
func (p drawing) aside(r paper.Rect, text string) {
	if p.u.Width(text, ui.Note) <= r.W {
		p.u.Label(r, text, ui.Note, ui.Finish)
		return
	}
	high := p.u.ParaHeight(text, r.W, ui.Note)
	p.u.Para(r.X, r.Y+(r.H-high)/2, r.W, text, ui.Note)
}

// ruled is a ruler: where a power is on it.
type ruled struct{ left, right, low, high float64 }

func (s ruled) x(power float64) float64 {
	return s.left + (power-s.low)/(s.high-s.low)*(s.right-s.left)
}

func (s ruled) power(x float64) float64 {
	return s.low + (x-s.left)/(s.right-s.left)*(s.high-s.low)
}

// ruler is the whole drawer on a line, and on it the window, which is dragged, or goes to
// where it is pressed.
func (p drawing) ruler(all []compartment) {
	u, k, t := p.u, p.u.Text, &p.u.Theme
	r := p.c.Block(56 * k)
	u.Scene().Box(r, 8, t.Sheet)
	u.Scene().Frame(r, 8, 1, t.Edge)
	low, high := span(all)
	end := u.Width(p.number(-20), ui.Small) / 2
	s := ruled{r.X + end + 4, r.Right() - end - 4, math.Floor(low), math.Ceil(high)}
	if low < 0 && high < 0 {
		s.high = 0
	}
	p.scale(r, s)
	from, to := span(shown(all, p.first))
	left, right := s.x(from)-5, s.x(to)+5
	if right-left < 24 {
		mid := (left + right) / 2
		left, right = mid-12, mid+12
	}
	window := paper.Rect{X: left, Y: r.Bottom() - 28*k, W: right - left, H: 30 * k}
	p.drag(r, window, s, all)
	u.Scene().Box(window, 6, paleOf(t.Act))
	u.Scene().Frame(window, 6, 3, t.Act)
	u.Ring("window", r)
	p.c.Gap(8)
}

// scale draws the lines of the ruler, one a dioptre, and as many figures as find room.
func (p drawing) scale(r paper.Rect, s ruled) {
	u, k := p.u, p.u.Text
	each := 1
	for wide := u.Width(p.number(-20), ui.Small) + 8; each < 10 && s.x(float64(each))-s.x(0) < wide; {
		each = map[int]int{1: 2, 2: 5, 5: 10}[each]
	}
	for d := int(s.low); d <= int(s.high); d++ {
		long, width, x := 9*k, 1.5, s.x(float64(d))
		if d%each == 0 {
			long = 17 * k
			wide := u.Width(p.number(d), ui.Small)
			u.Words(paper.Rect{X: x - wide/2, Y: r.Y + 4, W: wide, H: 22 * k}, p.number(d), ui.Small)
		}
		if d == 0 {
			width = 3
		}
		u.Scene().Line(x, r.Bottom()-long, x, r.Bottom()-1, width, u.Theme.Ink)
	}
}

// drag moves the window with the hand, or by keys a compartment at a time.
func (p drawing) drag(r, window paper.Rect, s ruled, all []compartment) {
	from, to := span(shown(all, p.first))
	value := p.v.Value(fact.Power(from)) + " … " + p.v.Value(fact.Power(to))
	g := p.u.Grip("window", p.v.Text("bench.set.window"), value, r, nil)
	at, was := s.power(g.At.X), p.first
	switch {
	case g.Taken:
		p.grab = 0
		if window.Contains(g.At) {
			p.grab = at - (from+to)/2
		}
		p.first = slid(all, at-p.grab)
	case g.Held:
		p.first = slid(all, at-p.grab)
	case g.Turn != 0:
		p.first = stepped(all, p.first, g.Turn)
	}
	if p.first != was {
		p.u.Unsettle()
	}
}
