// Package shape draws the few shapes that several parts of the bench are made
// of.
package shape

import (
	"image/color"
	"math"

	"conoid/cmd/station/internal/paper"
)

// White is the wall's paper by day and by night: a chart is lit.
func White() color.NRGBA { return color.NRGBA{255, 255, 255, 255} }

// Paler is a colour to lay over what is on its way and not sure yet.
func Paler(c color.NRGBA) color.NRGBA { return color.NRGBA{c.R, c.G, c.B, 0xA0} }

// Disc is a filled circle.
func Disc(sc *paper.Scene, c paper.Point, r float64, col color.NRGBA) {
	var p paper.Path
	p.Circle(c, r)
	sc.Fill(&p, col)
}

// Circle is the line of a circle.
func Circle(sc *paper.Scene, c paper.Point, r, width float64, col color.NRGBA) {
	var p paper.Path
	p.Circle(c, r)
	sc.Stroke(&p, width, col)
}

// Dashed is a thin dashed line.
func Dashed(sc *paper.Scene, p, q paper.Point, col color.NRGBA) {
	long := math.Hypot(q.X-p.X, q.Y-p.Y)
	dx, dy := (q.X-p.X)/long, (q.Y-p.Y)/long
	for d := 0.0; d < long; d += 12 {
		e := min(d+6, long)
		sc.Line(p.X+d*dx, p.Y+d*dy, p.X+e*dx, p.Y+e*dy, 1.25, col)
	}
}

// At is the place at an angle, degrees counter-clockwise from the right as the
// examiner sees it, at a distance from the middle.
func At(c paper.Point, r, degrees float64) paper.Point {
	s, k := math.Sincos(degrees * math.Pi / 180)
	return paper.Point{X: c.X + r*k, Y: c.Y - r*s}
}

// Degrees is the angle at which p lies from c, as At has it.
func Degrees(c, p paper.Point) float64 {
	return math.Atan2(c.Y-p.Y, p.X-c.X) * 180 / math.Pi
}

// Folded brings the label of a line, or an axis, into 1 to 180.
func Folded(v int) int {
	v %= 180
	if v <= 0 {
		v += 180
	}
	return v
}

// Whole is an axis to the degree, 1 to 180.
func Whole(axis float64) int { return Folded(int(math.Round(axis))) }

// Arc is a part of a circle's line with round ends, from one angle to another,
// degrees as At has them.
func Arc(sc *paper.Scene, c paper.Point, r, from, to, width float64, col color.NRGBA) {
	if r <= 0 {
		return
	}
	var p paper.Path
	p.Arc(c, r, -from*math.Pi/180, -to*math.Pi/180)
	sc.Stroke(&p, width, col)
}
