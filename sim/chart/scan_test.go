package chart_test

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"conoid/sim/chart"
)

// The tests measure shapes by cutting them with parallel lines and counting
// windings, which shares nothing with the formulas of the package.

type span struct{ from, to float64 }

// spans are the stretches of ink along the line through at in the direction
// of the angle (degrees), as distances from at.
func spans(s chart.Shape, at chart.Point, angle float64) []span {
	type crossing struct {
		x    float64
		turn int
	}
	var found []crossing
	sin, cos := math.Sincos(angle * math.Pi / 180)
	own := func(p chart.Point) (x, y float64) {
		x, y = p.X-at.X, p.Y-at.Y
		return x*cos + y*sin, y*cos - x*sin
	}
	for _, path := range s.Paths {
		for i := range path {
			ax, ay := own(path[i])
			bx, by := own(path[(i+1)%len(path)])
			if (ay < 0) == (by < 0) {
				continue
			}
			turn := 1
			if by < ay {
				turn = -1
			}
			found = append(found, crossing{ax + (bx-ax)*ay/(ay-by), turn})
		}
	}
	slices.SortFunc(found, func(a, b crossing) int { return cmp.Compare(a.x, b.x) })
	var out []span
	winding := 0
	for _, c := range found {
		before := winding
		winding += c.turn
		switch {
		case before == 0:
			out = append(out, span{from: c.x})
		case winding == 0:
			out[len(out)-1].to = c.x
		}
	}
	return out
}

// thickness is the length of ink around a point in the direction of the angle,
// 0 on paper.
func thickness(s chart.Shape, at chart.Point, angle float64) float64 {
	for _, sp := range spans(s, at, angle) {
		if sp.from <= 0 && sp.to >= 0 {
			return sp.to - sp.from
		}
	}
	return 0
}

func covers(s chart.Shape, at chart.Point) bool { return thickness(s, at, 0) > 0 }

// scan visits level cuts through the whole of the shapes, step apart.
func scan(shapes []chart.Shape, step float64, visit func(y float64, rows [][]span)) {
	_, low, _, high := bounds(shapes...)
	n := math.Ceil((high - low) / step)
	for i := range int(n) {
		y := low + (high-low)*(float64(i)+0.5)/n
		rows := make([][]span, len(shapes))
		for j, s := range shapes {
			rows[j] = spans(s, chart.Point{Y: y}, 0)
		}
		visit(y, rows)
	}
}

// spectrumByCuts is the Fourier transform of a shape by the midpoint rule over
// level cuts.
func spectrumByCuts(s chart.Shape, fx, fy, step float64) complex128 {
	var sum complex128
	_, low, _, high := bounds(s)
	exact := (high - low) / math.Ceil((high-low)/step)
	scan([]chart.Shape{s}, step, func(y float64, rows [][]span) {
		for _, sp := range rows[0] {
			length, middle := sp.to-sp.from, (sp.to+sp.from)/2
			sum += cmplx.Rect(length*sinc(fx*length)*exact, -2*math.Pi*(fx*middle+fy*y))
		}
	})
	return sum
}

// sinc is sin(πx)/(πx).
func sinc(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Sin(math.Pi*x) / (math.Pi * x)
}

func bounds(shapes ...chart.Shape) (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for p := range points(shapes...) {
		x0, x1 = min(x0, p.X), max(x1, p.X)
		y0, y1 = min(y0, p.Y), max(y1, p.Y)
	}
	return
}

func points(shapes ...chart.Shape) func(func(chart.Point) bool) {
	return func(yield func(chart.Point) bool) {
		for _, s := range shapes {
			for _, path := range s.Paths {
				for _, p := range path {
					if !yield(p) {
						return
					}
				}
			}
		}
	}
}

// along is the place at a distance from a line's middle along it, and another
// across it to the left.
func along(l chart.Line, distance, across float64) chart.Point {
	sin, cos := math.Sincos(l.Angle * math.Pi / 180)
	return chart.Point{
		X: l.Centre.X + distance*cos - across*sin,
		Y: l.Centre.Y + distance*sin + across*cos,
	}
}
