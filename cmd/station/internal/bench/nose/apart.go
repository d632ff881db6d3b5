package nose

import (
	"math"

	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// Portrait draws the face with the frame on it, and below it the covers.
func Portrait(u *ui.UI, v voice.Voice, r paper.Rect, n View, out *wish.List) {
	p := part{u, v, n, out}
	high, k := tabHigh*u.Text, u.Text
	if r.W < sideBySide*k {
		high = 2*high + between*k
	}
	place := paper.Rect{X: r.X, Y: r.Y, W: r.W, H: math.Floor(r.H - high - 6)}
	p.faceIn(place)
	p.undoIn(p.undoCorner(place))
	t := rows{tray{p}, r.X, r.Bottom() - high, r.W}
	t.covers()
}

// What a tray without covers takes at the least, in one column and in two, and how wide it
// is for two, logical pixels at a text size of 100 %.
const (
	TrayHigh      = labelHigh + 3*pillHigh + tabHigh + 4*between + holdHigh - 8
	TrayHighNamed = TrayHigh + labelHigh + labelHigh + 8 // with all that is named
	TrayHighWide  = labelHigh + 2*pillHigh + tabHigh + 2*between
	TrayWide      = twoColumns
)

// Tray draws the lenses and those to hold up, without the covers, in a place of its own.
func Tray(u *ui.UI, v voice.Voice, r paper.Rect, n View, out *wish.List) {
	p := part{u, v, n, out}
	t := rows{tray{p}, r.X, r.Y, r.W}
	if r.W >= twoColumns*u.Text {
		t.inTwo()
		return
	}
	named := r.H >= TrayHighNamed*u.Text
	t.back()
	t.front()
	t.axis(named)
	if named {
		t.hold()
		return
	}
	t.discs(t.take(holdHigh - 8))
}

// inTwo draws what changes the lenses in two columns.
func (t *rows) inTwo() {
	k := t.u.Text
	first := *t
	first.w = (t.w - 24*k) / 2
	second := first
	second.x += first.w + 24*k
	first.back()
	first.hold()
	second.front()
	second.axis(true)
	t.y = max(first.y, second.y)
}
