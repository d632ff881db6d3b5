// Package nose draws what sits on the nose: the face of the person with the trial
// frame on it, as the examiner leans in to it, and the tray with the lenses that
// go into it.
package nose

import (
	"math"

	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// View is what is to be drawn.
type View struct {
	Person  face.Person
	Lid     float64 // how far the lids are closed; see face.Lid
	Tested  sitting.Side
	Frames  [2]optics.Frame // with a cylinder that is in the hand where it is now
	Covered [2]bool
	Vertex  float64 // metres
	Set     optics.TrialSet
	Stands  optics.Frame // of the tested eye, with that cylinder where it was left
	Hand    optics.Cell  // the cell whose lens the hand is on
	Held    *wish.Turning
	Lifts   wish.Hand             // what lies at hand to be held up
	Pointer int                   // label that the arrow points at
	Slid    [optics.Cells]float64 // how far a lens is from its cell yet, of the rim's radius
	Pale    Pale
	Leans   bool // a small portrait can take the wall's place
	Near    bool // it is there
}

// Pale is what is on its way and not sure yet.
type Pale struct {
	Lenses  [optics.Cells]bool
	Held    bool
	Covered [2]bool
}

// frame is the frame of the tested eye.
func (n View) frame() optics.Frame { return n.Frames[n.Tested.Index()] }

// part is what the parts of the nose are drawn with.
type part struct {
	u   *ui.UI
	v   voice.Voice
	n   View
	out *wish.List
}

// The room between the portrait and the tray, the width of a tray beside it, and the
// least that is left for the portrait then, logical pixels at a text size of 100 %.
const (
	gap       = 14
	trayWidth = 266
	leastWide = 180
)

// littleWide is the least width for a small portrait beside the tray: a finger finds all
// that turns the axis then.
const littleWide = 358

// FitsSmall reports whether a small portrait beside the tray has room in r.
func FitsSmall(u *ui.UI, r paper.Rect) bool {
	return r.W >= littleWide*u.Text && r.H >= smallHigh*u.Text
}

// Draw draws the portrait and the tray within r and gives where they end: below
// r, where there is more to press than room. A height of zero is any height.
func Draw(u *ui.UI, v voice.Voice, r paper.Rect, n View, out *wish.List) (bottom float64) {
	p, k := part{u, v, n, out}, u.Text
	under := r.H - p.trayHeight(r.W) - gap
	switch {
	case r.H == 0 && r.W < littleWide*k:
		return p.below(r, 0.9*r.W)
	case under >= r.W*0.5:
		return p.below(r, min(under, r.W*1.2))
	case r.W >= (trayWidth+leastWide)*k && r.H >= p.trayHeight(trayWidth*k):
		return p.beside(r)
	case r.W >= littleWide*k:
		return p.small(r)
	}
	return p.below(r, r.W*0.5)
}

// Fits reports whether all of it has room in r, with a portrait that shows something.
func Fits(u *ui.UI, v voice.Voice, r paper.Rect, n View) bool {
	p, k := part{u, v, n, nil}, u.Text
	return r.H-p.trayHeight(r.W)-gap >= r.W*0.5 || r.W >= (trayWidth+leastWide)*k && r.H >= p.trayHeight(trayWidth*k)
}

// below draws the tray below the portrait, which is so high.
func (p part) below(r paper.Rect, high float64) float64 {
	portrait := paper.Rect{X: r.X, Y: r.Y, W: r.W, H: math.Floor(high)}
	p.faceIn(portrait)
	p.undoIn(p.undoCorner(portrait))
	bottom := p.lensesIn(paper.Rect{X: r.X, Y: portrait.Bottom() + gap, W: r.W})
	return p.note(r, bottom)
}

// beside draws the tray at the side of the portrait.
func (p part) beside(r paper.Rect) float64 {
	k := p.u.Text
	tray, portrait := r.CutRight(trayWidth * k)
	portrait.W -= gap
	portrait.H = min(portrait.H, math.Floor(portrait.W*1.15))
	p.faceIn(portrait)
	p.undoIn(p.undoCorner(portrait))
	return p.note(tray, p.lensesIn(tray))
}

// note tells how the frame is seen, where there is room for it below.
func (p part) note(r paper.Rect, bottom float64) float64 {
	text := p.view()
	h := p.u.ParaHeight(text, r.W, ui.Note)
	if r.H > 0 && bottom+6+h > r.Bottom() {
		return bottom
	}
	return bottom + 6 + p.u.Para(r.X, bottom+6, r.W, text, ui.Note)
}

// view is how the frame is seen, in words.
func (p part) view() string {
	return p.v.Text("bench.nose.view", "mm", fact.Number(math.Round(1000*p.n.Vertex)))
}
