package nose

import (
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/optics"
)

// The heights of the tray, logical pixels at a text size of 100 %. Nothing of it
// moves when lenses come and go.
const (
	labelHigh = 18
	pillHigh  = 46
	tabHigh   = 44
	holdHigh  = 58 // a disc and the handle below it
	between   = 6
)

// twoColumns is the width from which the tray stands in two columns.
const twoColumns = 520

// tight is the width below which what takes a lens out has a row of its own.
const tight = 200

// trayHeight is how high a tray of a width is.
func (p part) trayHeight(w float64) float64 {
	back, front, axis, hold := labelHigh+pillHigh, tabHigh+between+pillHigh, labelHigh+pillHigh, labelHigh+holdHigh
	if w >= twoColumns*p.u.Text {
		return p.u.Text * float64(max(back+hold, front+axis)+2*between+tabHigh)
	}
	high := back + front + axis + hold + 4*between + tabHigh
	if w < tight*p.u.Text {
		high += 2 * (tabHigh + between)
	}
	if w < sideBySide*p.u.Text {
		high += tabHigh + between
	}
	return p.u.Text * float64(high)
}

// lensesIn draws the tray: the lenses in order of light, those to hold up and the
// covers; it gives where it ends.
func (p part) lensesIn(r paper.Rect) float64 {
	k := p.u.Text
	t := rows{tray{p}, r.X, r.Y, r.W}
	if r.W >= twoColumns*k {
		t.inTwo()
	} else {
		t.back()
		t.front()
		t.axis(true)
		t.hold()
	}
	t.covers()
	return t.y - between*k
}

// smallHigh is how high a small portrait and the tray beside it are, with what is held up
// below them.
const smallHigh = labelHigh + 3*pillHigh + tabHigh + 4*between + holdHigh - 8

// small draws a small portrait beside what changes the lenses, with the covers
// below it: the whole fits into a part of a telephone's screen.
func (p part) small(r paper.Rect) float64 {
	k := p.u.Text
	left, right := r.CutLeft(140 * k)
	_, right = right.CutLeft(6 * k)
	t := rows{tray{p}, right.X, right.Y, right.W}
	t.back()
	t.front()
	t.axis(false)
	end := t.y - between*k
	p.littleFace(paper.Rect{X: left.X, Y: left.Y, W: left.W, H: end - (tabHigh+8)*k - left.Y})
	t.littleCovers(paper.Rect{X: left.X, Y: end - tabHigh*k, W: left.W, H: tabHigh * k})
	t.x, t.w = r.X, r.W
	t.holdBeside()
	return t.y - between*k
}

// tray is what is to be pressed.
type tray struct{ part }

// rows writes the rows of a tray below one another.
type rows struct {
	tray
	x, y, w float64
}

// take takes a row of a height.
func (t *rows) take(high float64) paper.Rect {
	r := paper.Rect{X: t.x, Y: t.y, W: t.w, H: high * t.u.Text}
	t.y += (high + between) * t.u.Text
	return r
}

// label writes what a row is, and more of it more quietly where there is room.
func (t *rows) label(what, more string) {
	u, h := t.u, labelHigh*t.u.Text
	w := u.Width(what, ui.SmallBold)
	u.Label(paper.Rect{X: t.x + 2, Y: t.y, W: w, H: h}, what, ui.SmallBold, ui.Start)
	if at := w + 8*u.Text; at+u.Width(more, ui.Note) <= t.w-2 && more != "" {
		u.Label(paper.Rect{X: t.x + 2 + at, Y: t.y, W: u.Width(more, ui.Note), H: h}, more, ui.Note, ui.Start)
	}
	t.y += h
}

// back is the cell next to the eye.
func (t *rows) back() {
	l := t.n.Stands.Lenses[optics.Back]
	t.label(t.v.Text("bench.tray.back"), t.v.Text(kindOf(l)))
	t.cell(optics.Back)
}

// front is the front cells, of which one is at hand.
func (t *rows) front() {
	shown := t.n.shown()
	r := t.take(tabHigh)
	cells := []optics.Cell{optics.Front1, optics.Front2, optics.Front3}
	w := (r.W - 12*t.u.Text) / 3
	for i, cell := range cells {
		t.tab(cell, paper.Rect{X: r.X + float64(i)*(w+6*t.u.Text), Y: r.Y, W: w, H: r.H}, cell == shown)
	}
	t.cell(shown)
}

// shown is the front cell that is at hand: the one that was touched last, or the
// foremost with a lens.
func (n View) shown() optics.Cell {
	if n.Hand != optics.Back && n.Stands.Lenses[n.Hand] != (optics.Lens{}) {
		return n.Hand
	}
	for cell := optics.Front3; cell > optics.Front1; cell-- {
		if n.Stands.Lenses[cell] != (optics.Lens{}) {
			return cell
		}
	}
	return optics.Front1
}

// firstEmpty is the cell that a new lens goes into.
func (n View) firstEmpty() (cell optics.Cell, ok bool) {
	for cell, l := range n.Stands.Lenses {
		if l == (optics.Lens{}) {
			return optics.Cell(cell), true
		}
	}
	return 0, false
}
