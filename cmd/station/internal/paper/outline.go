package paper

import (
	"image"
	"math"
)

// flatness is how far, in device pixels, a chord may lie from its curve.
const flatness = 0.02

// contour is a chain of straight lines.
type contour struct {
	points []Point
	closed bool
}

// outline is a set of contours in device pixels; it is reused from mark to mark.
type outline struct{ contours []contour }

func (o *outline) reset() { o.contours = o.contours[:0] }

// begin adds an empty contour, in the memory of an old one if there is any.
func (o *outline) begin() *contour {
	n := len(o.contours)
	if n < cap(o.contours) {
		o.contours = o.contours[:n+1]
		o.contours[n] = contour{points: o.contours[n].points[:0]}
	} else {
		o.contours = append(o.contours, contour{})
	}
	return &o.contours[n]
}

// box is the least box of device pixels that holds the outline.
func (o *outline) box() image.Rectangle {
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range o.contours {
		for _, q := range c.points {
			low, high = min(low, q.Y), max(high, q.Y)
		}
	}
	left, right := o.between(low, high)
	return outward(Rect{left, low, right - left, high - low})
}

// Here and in what follows numbers are compared by hand: in a browser min and max of two floats are
// calls, which took a tenth of the first picture.

// between is how far left and right the outline reaches between two heights; left is not below
// right if there is none of it.
func (o *outline) between(low, high float64) (left, right float64) {
	left, right = math.Inf(1), math.Inf(-1)
	for i := range o.contours {
		pts := o.contours[i].points
		a := pts[len(pts)-1]
		for _, b := range pts {
			if (a.Y <= high || b.Y <= high) && (a.Y >= low || b.Y >= low) {
				p, q := cut(a, b, low, high)
				if q.X < p.X {
					p, q = q, p
				}
				if p.X < left {
					left = p.X
				}
				if q.X > right {
					right = q.X
				}
			}
			a = b
		}
	}
	return left, right
}

// cut is the part of a line between two heights, which the line must reach.
func cut(a, b Point, low, high float64) (p, q Point) {
	at := func(y float64) Point { return Point{a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y), y} }
	p, q = a, b
	if y := within(a.Y, low, high); y != a.Y {
		p = at(y)
	}
	if y := within(b.Y, low, high); y != b.Y {
		q = at(y)
	}
	return p, q
}

// within is a number, or the end of a range that it lies beyond.
func within(v, low, high float64) float64 {
	switch {
	case v > high:
		return high
	case v < low:
		return low
	}
	return v
}

func (c *contour) add(p Point) { c.points = append(c.points, p) }

// end is the last point of the contour.
func (c *contour) end() Point { return c.points[len(c.points)-1] }

// addPath adds a path with its points taken through to (such as a scaling), its curves as chords.
func (o *outline) addPath(verbs []verb, pts []Point, to func(Point) Point) {
	var c *contour
	start := func(p Point) {
		c = o.begin()
		c.add(p)
	}
	for _, v := range verbs {
		var q [3]Point
		for i := range points[v] {
			q[i] = to(pts[i])
		}
		pts = pts[points[v]:]
		if v != moveTo && v != closePath && c.closed { // drawing on after Close: from where it began
			start(c.points[0])
		}
		switch v {
		case moveTo:
			start(q[0])
		case lineTo:
			c.add(q[0])
		case quadTo:
			c.quad(q[0], q[1])
		case cubeTo:
			c.cube(q[0], q[1], q[2])
		case closePath:
			c.closed = true
		}
	}
}

// quad adds a quadratic Bézier curve from the end of the contour.
func (c *contour) quad(b, d Point) {
	a := c.end()
	n := chords(math.Hypot(a.X-2*b.X+d.X, a.Y-2*b.Y+d.Y) / 4)
	for i := 1; i <= n; i++ {
		t := float64(i) / float64(n)
		u := 1 - t
		c.add(Point{u*u*a.X + 2*u*t*b.X + t*t*d.X, u*u*a.Y + 2*u*t*b.Y + t*t*d.Y})
	}
}

// cube adds a cubic Bézier curve from the end of the contour.
func (c *contour) cube(b, d, e Point) {
	a := c.end()
	bend := max(math.Hypot(a.X-2*b.X+d.X, a.Y-2*b.Y+d.Y), math.Hypot(b.X-2*d.X+e.X, b.Y-2*d.Y+e.Y))
	n := chords(bend * 6 / 8)
	for i := 1; i <= n; i++ {
		t := float64(i) / float64(n)
		u := 1 - t
		k0, k1, k2, k3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		c.add(Point{k0*a.X + k1*b.X + k2*d.X + k3*e.X, k0*a.Y + k1*b.Y + k2*d.Y + k3*e.Y})
	}
}

// chords is how many chords keep a curve flat whose second derivative is at most 8 sag: a chord
// over 1/n of the curve lies at most sag/n² from it.
func chords(sag float64) int {
	return min(max(1, int(math.Ceil(math.Sqrt(sag/flatness)))), 500)
}
