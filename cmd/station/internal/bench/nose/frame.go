package nose

import (
	"fmt"
	"math"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/sim/optics"
)

// metal draws along a path in two strokes, of which one stands out on every skin.
func (p closeup) metal(s shape.Space, o shape.Outline, width float64) {
	sc, t := p.u.Scene(), &p.u.Theme
	s.Stroke(sc, o, width+4, t.MetalOut)
	s.Stroke(sc, o, width, t.Metal)
}

// ring is metal in a circle.
func (p closeup) ring(c paper.Point, r, width float64) {
	sc, t := p.u.Scene(), &p.u.Theme
	shape.Circle(sc, c, r, width+4, t.MetalOut)
	shape.Circle(sc, c, r, width, t.Metal)
}

// frame draws the trial frame, and every lens in its cell.
func (p closeup) frame() {
	p.metal(p.at, arm, p.rim*0.09)
	p.metal(p.other(), arm, p.rim*0.09)
	p.metal(p.at, joint, p.rim*0.085)
	p.fellow()
	p.scale()
	p.ring(p.c, p.rim, 4)
	tested := p.n.Tested.Index()
	if p.n.Covered[tested] {
		shape.Disc(p.u.Scene(), p.c, p.rim-4, p.u.Theme.Black)
		p.paler(p.c, p.rim-4, p.n.Pale.Covered[tested])
	}
	p.lenses()
	if held := p.n.frame().Held; held != (optics.Lens{}) {
		p.held(held)
	}
}

// fellow draws the rim before the other eye.
func (p closeup) fellow() {
	sc, t, i := p.u.Scene(), &p.u.Theme, p.n.Tested.Other().Index()
	c, r := p.other().Origin, p.rim-4
	if p.n.Covered[i] || p.n.Frames[i].Blocked() {
		shape.Disc(sc, c, r, t.Black)
		shape.Circle(sc, c, p.rim*0.82, 1, t.Steel)
		p.paler(c, r, p.n.Pale.Covered[i])
	} else {
		for _, l := range p.n.Frames[i].Lenses {
			if l != (optics.Lens{}) {
				shape.Disc(sc, c, r, glass)
			}
		}
	}
	p.ring(c, p.rim, 5)
}

// paler lays a veil over what is on its way.
func (p closeup) paler(c paper.Point, r float64, pale bool) {
	if pale {
		shape.Disc(p.u.Scene(), c, r, shape.Paler(p.u.Theme.Sheet))
	}
}

// scale draws the scale of standard notation (ISO 8429) all around: either end of
// a cylinder's axis stands at its figure.
func (p closeup) scale() {
	sc, t := p.u.Scene(), &p.u.Theme
	shape.Disc(sc, paper.Point{X: p.c.X + 1, Y: p.c.Y + 4}, p.rim+p.plate+2, t.Shade)
	shape.Circle(sc, p.c, p.rim+p.plate/2, p.plate, t.Sheet)
	shape.Circle(sc, p.c, p.rim+p.plate, 2, t.MetalOut)
	step := 5
	if !p.full {
		step = 10
	}
	for d := 0; d < 360; d += step {
		p.mark(d)
	}
}

// figuresAt is how far outside the rim the figures of the scale stand, logical pixels at a
// text size of 100 %; figureSize is how large they are.
const (
	figuresAt  = 21
	figureSize = 13
)

// strikes reports whether a stick at an angle goes over a figure of the scale.
func (p closeup) strikes(angle float64) bool {
	if !p.full {
		return false
	}
	near := 30 * math.Round(angle/30)
	text, size := fmt.Sprint(shape.Folded(int(near))), figureSize*p.k
	sin, cos := math.Sincos(angle * math.Pi / 180)
	clear := 3 + (paper.Width(text, size, paper.Regular)*math.Abs(sin)+paper.CapHeight(size, paper.Regular)*math.Abs(cos))/2
	return (p.rim+figuresAt*p.k)*math.Abs(math.Sin((angle-near)*math.Pi/180)) < clear
}

// mark draws a line of the scale, and a figure every 30 degrees, upright as the
// examiner reads it.
func (p closeup) mark(d int) {
	sc, t := p.u.Scene(), &p.u.Theme
	long, width, col := 3.0, 1.0, t.Quiet
	switch {
	case d%30 == 0:
		long, width, col = 5, 2, t.Ink
	case d%10 == 0:
		long = 4
	}
	a, b := shape.At(p.c, p.rim+3, float64(d)), shape.At(p.c, p.rim+3+long*min(p.k, 1.5), float64(d))
	sc.Line(a.X, a.Y, b.X, b.Y, width, col)
	if p.full && d%30 == 0 {
		at := shape.At(p.c, p.rim+figuresAt*p.k, float64(d))
		p.centred(at, figureSize*p.k, paper.Regular, fmt.Sprint(shape.Folded(d)), t.Ink)
	}
}
