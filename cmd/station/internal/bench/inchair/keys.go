package inchair

import (
	"math"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// board draws keys.
type board struct{ *page }

// key is something to press, or a text among what can be pressed.
type key struct {
	id, label string
	name      string // for those who do not see it; the label where there is none
	look      ui.Look
	text      bool     // it is a text
	breaks    bool     // a row begins with it
	least     float64  // how wide it is at least
	slope     *float64 // it shows a line of this direction, degrees as the patient sees it
	off       bool     // it cannot be pressed now
	act       func()
}

// size is how large a key wants to be, at most so wide.
func (b board) size(k key, most float64) (w, h float64) {
	switch {
	case k.text:
		return min(b.u.Width(k.label, ui.SmallBold)+6, most), b.row()
	case k.slope != nil:
		return k.least, b.row()
	}
	w, h = b.u.ButtonSize(k.label, most)
	return max(w, k.least), max(h, b.row())
}

// gap is the room between keys.
const gap = 6

// arrange places keys beside one another, in as many rows as they take, from x and y on.
func (b board) arrange(keys []key, x, y, w float64) (at []paper.Rect, bottom float64) {
	left, high := x, 0.0
	for _, k := range keys {
		wide, h := b.size(k, w)
		if left > x && (k.breaks || left+wide > x+w+0.01) {
			left, y, high = x, y+high+gap, 0
		}
		at = append(at, paper.Rect{X: left, Y: y, W: wide, H: h})
		left, high = left+wide+gap, max(high, h)
	}
	return at, y + high
}

// spread makes keys take the whole of a width: each as much if they can, or else as
// much more than it needs.
func (b board) spread(keys []key, w float64) []key {
	each, left, even := (w-gap*float64(len(keys)-1))/float64(len(keys)), w+gap, true
	for _, k := range keys {
		natural, _ := b.size(k, w)
		left -= natural + gap
		even = even && natural <= each
	}
	for i := range keys {
		switch natural, _ := b.size(keys[i], w); {
		case even:
			keys[i].least = each
		case left > 0:
			keys[i].least = natural + left/float64(len(keys))
		}
	}
	return keys
}

// abreast is how wide each of n keys of at least a width is in rows of as many as
// stand beside one another.
func abreast(n int, least, w float64) float64 {
	rows := math.Ceil(float64(n) * (least + gap) / (w + gap))
	each := math.Ceil(float64(n) / rows)
	return math.Floor((w - gap*(each-1)) / each)
}

// tall is how high keys are in a width.
func (b board) tall(keys []key, w float64) float64 {
	if len(keys) == 0 {
		return 0
	}
	_, bottom := b.arrange(keys, 0, 0, w)
	return bottom
}

// draw draws keys, and does what was pressed.
func (b board) draw(keys []key, x, y, w float64) (bottom float64) {
	at, bottom := b.arrange(keys, x, y, w)
	for i, k := range keys {
		if b.key(k, at[i]) && !b.works {
			k.act()
			b.u.Unsettle()
		}
	}
	return bottom
}

func (b board) key(k key, r paper.Rect) (pressed bool) {
	switch {
	case k.text:
		b.u.Label(r, k.label, ui.SmallBold, ui.Start)
		return false
	case k.slope != nil:
		return b.line(k, r)
	}
	name := k.name
	if name == "" {
		name = k.label
	}
	return b.u.Sign(!k.off && !b.waits(), k.id, r, k.label, name, k.look)
}

// line is a key with a line of the fan on it, as it runs, and what is printed at its end.
func (b board) line(k key, r paper.Rect) bool {
	small := ui.Small
	if k.look == ui.Selected {
		small = ui.SmallBold
	}
	wide := b.u.Width(k.label, ui.SmallBold)
	pressed := ui.Blank(b.u, k.id, r, k.name, k.look, wide > r.W-4)
	long := min(r.H/2-lineEnd-b.u.LineHeight(small)/2, r.W/2-lineEnd)
	mid := paper.Point{X: r.Centre().X, Y: r.Y + lineEnd + long}
	from, to := shape.At(mid, long, *k.slope), shape.At(mid, -long, *k.slope)
	b.u.Scene().Line(from.X, from.Y, to.X, to.Y, 2.2, b.u.Theme.Ink)
	b.u.Words(paper.Rect{X: r.X, Y: r.Bottom() - b.u.LineHeight(small) - 1, W: r.W, H: b.u.LineHeight(small)}, k.label, small, ui.Middle)
	return pressed
}

// lineEnd is the room around the line on a key.
const lineEnd = 3
