// Package nose draws what sits on the nose: the trial frame as the examiner
// faces it, and the tray with the lenses that go into it.
package nose

import (
	"fmt"
	"math"

	"conoid/cmd/station/internal/bench/shape"
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
	Tested  sitting.Side
	Frames  [2]optics.Frame // with a cylinder that is in the hand where it is now
	Covered [2]bool
	Vertex  float64 // metres
	Set     optics.TrialSet
	Stands  optics.Frame // of the tested eye, with that cylinder where it was left
	Hand    optics.Cell  // the cell whose lens the hand is on
	Held    *wish.Turning
	Slid    [optics.Cells]float64 // how far a lens is from its cell yet, of the rim's radius
	Narrow  bool
	Pale    Pale
}

// Pale is what is on its way and not sure yet.
type Pale struct {
	Lenses  [optics.Cells]bool
	Held    bool
	Covered [2]bool
}

// frame is the frame of the tested eye.
func (n View) frame() optics.Frame { return n.Frames[n.Tested.Index()] }

// Draw draws the frame and the tray, in a column with so much room.
func Draw(u *ui.UI, v voice.Voice, c *ui.Column, n View, room float64, out *wish.List) {
	h := c.W * 0.7
	if !n.Narrow { // what the tray leaves of the height
		h = min(max(room-330*u.Text, c.W*0.5), c.W*0.76)
	}
	frame(u, v, c.Block(h), n, out)
	c.Para(v.Text("bench.nose.view", "mm", fact.Number(math.Round(1000*n.Vertex))), ui.Note)
	c.Gap(6)
	tray(u, v, c, n, out)
}

// frame draws both sides of the frame: the tested eye large, the other small.
// The right eye is on the examiner's left.
func frame(u *ui.UI, v voice.Voice, r paper.Rect, n View, out *wish.List) {
	small := min(r.W*0.3, r.H*0.42)
	var big, other paper.Rect
	if n.Tested == sitting.Right {
		other, big = r.CutRight(small)
	} else {
		other, big = r.CutLeft(small)
	}
	radius := min(big.W, big.H)/2 - 2
	centre := big.Centre()
	little := paper.Point{X: other.Centre().X, Y: r.Y + small/2 + 8}
	// The bridge joins the two rims.
	side := 45.0
	if n.Tested == sitting.Left {
		side = 135
	}
	from := shape.At(centre, radius-22*u.Text, side)
	u.Scene().Line(from.X, from.Y, little.X, little.Y, 5*u.Text, u.Theme.Edge)
	drawOther(u, little, small*0.36, n)
	for i, l := range u.Wrap(v.Text("eye."+string(n.Tested.Other())), other.W, ui.Note) {
		lh := u.LineHeight(ui.Note)
		u.Words(paper.Rect{X: other.X, Y: little.Y + small*0.42 + float64(i)*lh, W: other.W, H: lh}, l, ui.Note, ui.Middle)
	}
	drawTested(u, v, centre, radius, n, out)
}

// drawOther draws the eye that is not tested.
func drawOther(u *ui.UI, c paper.Point, radius float64, n View) {
	sc, t := u.Scene(), &u.Theme
	shape.Disc(sc, c, radius, t.Edge)
	shape.Disc(sc, c, radius-3, t.Sheet)
	i := n.Tested.Other().Index()
	if n.Covered[i] || n.Frames[i].Blocked() {
		shape.Disc(sc, c, radius-5, t.Black)
		paler(u, c, radius-5, n.Pale.Covered[i])
		return
	}
	eyeBehind(u, c, radius*0.5)
	for _, l := range n.Frames[i].Lenses {
		if l != (optics.Lens{}) {
			shape.Disc(sc, c, radius-5, t.Glass)
		}
	}
}

// paler lays a veil over what is on its way.
func paler(u *ui.UI, c paper.Point, r float64, pale bool) {
	if pale {
		shape.Disc(u.Scene(), c, r, shape.Paler(u.Theme.Sheet))
	}
}

// eyeBehind draws an eye, as plain as it can be.
func eyeBehind(u *ui.UI, c paper.Point, r float64) {
	shape.Disc(u.Scene(), c, r, u.Theme.Rule)
	shape.Disc(u.Scene(), c, r*0.45, u.Theme.Black)
}

// drawTested draws the side of the frame before the tested eye: the axis scale
// around it and every lens in its cell.
func drawTested(u *ui.UI, v voice.Voice, c paper.Point, radius float64, n View, out *wish.List) {
	sc, f := u.Scene(), n.frame()
	rim := radius - 22*u.Text
	axisScale(u, c, radius, rim)
	shape.Disc(sc, c, rim, u.Theme.Edge)
	shape.Disc(sc, c, rim-5, u.Theme.Sheet)
	eyeBehind(u, c, rim*0.34)
	if n.Covered[n.Tested.Index()] {
		shape.Disc(sc, c, rim-7, u.Theme.Black)
		paler(u, c, rim-7, n.Pale.Covered[n.Tested.Index()])
	}
	var stand []optics.Lens
	for cell, l := range f.Lenses {
		if l != (optics.Lens{}) {
			place := paper.Point{X: c.X, Y: c.Y - radius*n.Slid[cell]}
			r := rim - 7 - 4*float64(len(stand))
			drawLens(u, place, r, l)
			paler(u, place, r, n.Pale.Lenses[cell])
			stand = append(stand, l)
		}
	}
	for i, l := range stand { // what is engraved is read through the glass in front
		engrave(u, v, c, rim-7, engraved(l, i), l)
	}
	if f.Held != (optics.Lens{}) {
		drawHeld(u, v, c, rim, f.Held)
		paler(u, c, rim*0.73, n.Pale.Held)
	}
	turnCylinder(u, v, c, radius, n, out)
}

// axisScale draws the scale of standard notation all around: either end of a
// cylinder's axis stands at its figure.
func axisScale(u *ui.UI, c paper.Point, radius, rim float64) {
	sc := u.Scene()
	size := min(11*u.Text, (radius-rim)*0.62)
	for deg := 0; deg < 360; deg += 5 {
		long := 4.0
		switch {
		case deg%30 == 0:
			long = 9
		case deg%10 == 0:
			long = 7
		}
		p, q := shape.At(c, rim+1, float64(deg)), shape.At(c, rim+long*0.8, float64(deg))
		sc.Line(p.X, p.Y, q.X, q.Y, 1, u.Theme.Quiet)
		if deg%30 == 0 {
			turn := float64(deg)*math.Pi/180 - math.Pi/2
			if deg > 180 {
				turn += math.Pi // the lower half is read from the front as well
			}
			sc.TextTurned(shape.At(c, (radius+rim)/2+5, float64(deg)), turn, size, paper.Regular, fmt.Sprint(shape.Folded(deg)), u.Theme.Ink)
		}
	}
}
