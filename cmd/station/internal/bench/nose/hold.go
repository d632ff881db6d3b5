package nose

import (
	"fmt"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// axis is the axis of the cylinder that is at hand and what turns it.
func (t *rows) axis(labelled bool) {
	cell, ok := t.n.Turnable()
	if labelled {
		more := ""
		if ok {
			more = t.v.Text("bench.tray.drag")
		}
		t.label(t.v.Text("bench.tray.axisname"), more)
	}
	r := t.take(pillHigh)
	if !ok {
		t.u.Scene().Frame(r, r.H/2, 1, t.u.Theme.Rule)
		t.u.Label(r, t.v.Text("bench.tray.noaxis"), t.fitting(t.v.Text("bench.tray.noaxis"), r.W-16), ui.Middle)
		return
	}
	t.steps(cell, r)
}

// fitting is the quiet style in which a text fits.
func (p tray) fitting(text string, width float64) ui.Style {
	if p.u.Width(text, ui.Quiet) <= width {
		return ui.Quiet
	}
	return ui.Note
}

// steps turns the cylinder in a cell by so many degrees.
func (p tray) steps(cell optics.Cell, r paper.Rect) {
	p.ground(r, false)
	word, now := CellName(p.v, cell), p.n.frame().Lenses[cell].Axis
	wide := min(max(tabHigh*p.u.Text, r.W*0.18), (r.W-p.u.Width("180", ui.Figure))/4)
	left, rest := r.CutLeft(2 * wide)
	figure, right := rest.CutLeft(rest.W - 2*wide)
	for i, by := range []int{-5, -1, 1, 5} {
		side := left
		if i > 1 {
			side = right
		}
		key := paper.Rect{X: side.X + float64(i%2)*wide, Y: r.Y, W: wide, H: r.H}
		turn := fact.Turn(by)
		name := p.v.Text("bench.tray.of", "what", p.v.Text("bench.tray.turn", "turn", turn), "cell", word)
		if i%2 == 1 {
			p.divide(key.X, r)
		}
		if p.key(fmt.Sprintf("%s axis %+d", cell, by), key, p.v.Value(turn), name, true) {
			p.out.Add(wish.Touch{Cell: cell}, wish.Turn(cell, shape.Folded(int(p.n.Stands.Lenses[cell].Axis)+by)))
		}
	}
	p.centred(figure.Centre(), 20*p.u.Text, paper.Bold, fmt.Sprint(int(now)), p.u.Theme.Blue)
}

// hold is the lenses to hold up, each on its handle.
func (t *rows) hold() {
	more := t.v.Text("bench.hand.how")
	if held := t.n.Stands.Held; held != (optics.Lens{}) {
		more = t.v.Text("bench.hand.held", "power", spoken(held))
	}
	t.label(t.v.Text("bench.hand.title"), more)
	t.discs(t.take(holdHigh))
}

// holdBeside is the same in less height, behind what puts the last lens back.
func (t *rows) holdBeside() {
	k, title := t.u.Text, t.v.Text("bench.hand.title")
	r := t.take(holdHigh - 8)
	undo, rest := r.CutLeft(max(tabHigh*k, min(140*k, r.W-slotsOf*58*k-t.u.Width(title, ui.SmallBold)-24*k)))
	undo.H = tabHigh * k
	_, rest = rest.CutLeft(6 * k)
	t.undoIn(undo)
	if w := t.u.Width(title, ui.SmallBold); rest.W-w-12*k >= slotsOf*tabHigh*k {
		var word paper.Rect
		word, rest = rest.CutLeft(max(w+12*k, rest.W-8*58*k))
		_, word = word.CutLeft(6 * k)
		t.u.Label(word, title, ui.SmallBold, ui.Start)
	}
	t.discs(rest)
}

// discs are the lenses to hold up: spheres, or cylinders.
func (p tray) discs(r paper.Rect) {
	if p.n.liftsCylinders() {
		lifts{p}.cylinders(r)
		return
	}
	lifts{p}.spheres(r)
}

// disc draws a lens on its handle, a little higher while it is in the hand.
func (p tray) disc(r paper.Rect, l optics.Lens, raised bool) {
	k, t := p.u.Text, &p.u.Theme
	radius := min(24*k, r.W/2-1)
	c, stick := paper.Point{X: r.Centre().X, Y: r.Y + 24*k}, t.Steel
	if raised {
		c.Y, stick = c.Y-2*k, t.Ink
	}
	shape.Stick(p.u.Scene(), shape.At(c, radius-1, 270), paper.Point{X: c.X, Y: r.Bottom() - 4*k}, 7, stick)
	p.token(c, radius, l, raised)
}

// raise holds a lens up, in the place of another, or lowers it.
func (p tray) raise(l, held optics.Lens) {
	if held != (optics.Lens{}) {
		p.out.Add(wish.Lower())
	}
	if held != l {
		p.out.Add(wish.HoldUp(l))
	}
}

// sideBySide is the width from which both covers stand in one row.
const sideBySide = 250

// covers are the occluders of both eyes, with what a press does.
func (t *rows) covers() {
	both := []sitting.Side{t.n.Tested.Other(), t.n.Tested}
	if t.w < sideBySide*t.u.Text {
		for _, side := range both {
			t.coverOf(side, t.take(tabHigh))
		}
		return
	}
	r := t.take(tabHigh)
	left, right := r.CutLeft((r.W - 8*t.u.Text) / 2)
	_, right = right.CutLeft(8 * t.u.Text)
	t.coverOf(both[0], left)
	t.coverOf(both[1], right)
}

// coverOf covers an eye, or opens it, and says which.
func (p tray) coverOf(side sitting.Side, r paper.Rect) {
	k, name := p.u.Text, p.v.Examiner().Action(p.cover(side).Action)
	_, text := r.CutLeft(28 * k)
	text.W -= 2 * k
	lines := p.u.Wrap(name, text.W, ui.Small)
	if p.coverButton(side, r, name, len(lines) > 2) {
		p.out.Add(p.cover(side))
	}
	p.occluder(paper.Point{X: r.X + 14*k, Y: r.Centre().Y}, side)
	high := p.u.LineHeight(ui.Small)
	for i, l := range lines {
		y := r.Centre().Y + (float64(i)-float64(len(lines))/2)*high
		p.u.Words(paper.Rect{X: text.X, Y: y, W: text.W, H: high}, l, ui.Small)
	}
}

// littleCovers are the same, named by their side alone.
func (p tray) littleCovers(r paper.Rect) {
	k := p.u.Text
	w := (r.W - 6*k) / 2
	for i, side := range []sitting.Side{sitting.Right, sitting.Left} { // as one faces the patient
		place := paper.Rect{X: r.X + float64(i)*(w+6*k), Y: r.Y, W: w, H: r.H}
		word := p.v.Text("bench.tray." + string(side))
		name := p.v.Examiner().Action(p.cover(side).Action)
		if p.coverButton(side, place, name, p.u.Width(word, ui.Small) > w-30*k) {
			p.out.Add(p.cover(side))
		}
		p.occluder(paper.Point{X: place.X + 16*k, Y: place.Centre().Y}, side)
		p.u.Words(paper.Rect{X: place.X + 28*k, Y: place.Y, W: w - 30*k, H: place.H}, word, ui.Small, ui.Middle)
	}
}

// cover covers an eye, or opens it.
func (p tray) cover(side sitting.Side) wish.Do { return wish.Cover(side, !p.n.Covered[side.Index()]) }

func (p tray) coverButton(side sitting.Side, r paper.Rect, name string, cut bool) bool {
	return ui.Blank(p.u, "cover "+string(side), r, name, ui.Plain, cut)
}

// occluder draws what is before an eye now: nothing, or black.
func (p tray) occluder(c paper.Point, side sitting.Side) {
	sc, t, r := p.u.Scene(), &p.u.Theme, 9*p.u.Text
	if p.n.Covered[side.Index()] {
		shape.Disc(sc, c, r, t.Black)
	} else {
		s := shape.Space{Origin: c, Unit: r / 0.6}
		s.Fill(sc, eyeWhite, shape.White())
		s.Stroke(sc, eyeWhite, 1.2, t.Ink)
		s.Disc(sc, 0, -.01, .2, p.n.Person.Iris)
	}
	shape.Circle(sc, c, r, 1.5, t.Steel)
}
