package shape

import (
	"image/color"

	"conoid/cmd/station/internal/paper"
)

// Outline is a drawing in units of its own, x to the right and y down: where it
// begins, and then its parts, each told by how many numbers it has. Two are the
// end of a straight line; four the control point and the end of a quadratic
// curve; six both control points and the end of a cubic one.
type Outline [][]float64

// Space is where an outline is drawn.
type Space struct {
	Origin paper.Point
	Unit   float64 // logical pixels
	Mirror bool    // left and right are exchanged
}

// At is a place of the drawing on the paper.
func (s Space) At(x, y float64) paper.Point {
	if s.Mirror {
		x = -x
	}
	return paper.Point{X: s.Origin.X + x*s.Unit, Y: s.Origin.Y + y*s.Unit}
}

// Flipped is the same place with left and right exchanged.
func (s Space) Flipped() Space {
	s.Mirror = !s.Mirror
	return s
}

// Fill fills an outline.
func (s Space) Fill(sc *paper.Scene, o Outline, col color.NRGBA) {
	p := s.path(o)
	p.Close()
	sc.Fill(&p, col)
}

// Stroke draws along an outline; width is in logical pixels.
func (s Space) Stroke(sc *paper.Scene, o Outline, width float64, col color.NRGBA) {
	p := s.path(o)
	sc.Stroke(&p, width, col)
}

// Disc is a circle of a radius in the drawing's units.
func (s Space) Disc(sc *paper.Scene, x, y, r float64, col color.NRGBA) {
	Disc(sc, s.At(x, y), r*s.Unit, col)
}

// path is the outline on the paper.
func (s Space) path(o Outline) (p paper.Path) {
	for i, n := range o {
		q := s.points(n)
		switch {
		case i == 0:
			p.MoveTo(q[0].X, q[0].Y)
		case len(q) == 1:
			p.LineTo(q[0].X, q[0].Y)
		case len(q) == 2:
			p.QuadTo(q[0].X, q[0].Y, q[1].X, q[1].Y)
		default:
			p.CubeTo(q[0].X, q[0].Y, q[1].X, q[1].Y, q[2].X, q[2].Y)
		}
	}
	return p
}

// points are the places of one part.
func (s Space) points(n []float64) (out []paper.Point) {
	for i := 0; i+1 < len(n); i += 2 {
		out = append(out, s.At(n[i], n[i+1]))
	}
	return out
}

// Stick is a straight stroke with round ends.
func Stick(sc *paper.Scene, p, q paper.Point, width float64, col color.NRGBA) {
	var path paper.Path
	path.MoveTo(p.X, p.Y)
	path.LineTo(q.X, q.Y)
	sc.Stroke(&path, width, col)
}
