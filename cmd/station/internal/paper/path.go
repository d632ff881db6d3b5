package paper

import "math"

// verb is one step of a path; each takes its own number of points.
type verb uint8

const (
	moveTo verb = iota
	lineTo
	quadTo
	cubeTo
	closePath
)

// points is how many points each verb takes.
var points = [...]int{moveTo: 1, lineTo: 1, quadTo: 2, cubeTo: 3, closePath: 0}

// Path is an outline of straight and curved parts, in logical pixels. The zero value is empty.
type Path struct {
	verbs  []verb
	points []Point
}

// Reset empties the path and keeps its memory.
func (p *Path) Reset() { p.verbs, p.points = p.verbs[:0], p.points[:0] }

// MoveTo starts a new part at (x, y).
func (p *Path) MoveTo(x, y float64) { p.add(moveTo, Point{x, y}) }

// LineTo adds a straight line to (x, y). On an empty path it only moves there.
func (p *Path) LineTo(x, y float64) {
	if p.begin(x, y) {
		p.add(lineTo, Point{x, y})
	}
}

// QuadTo adds a quadratic Bézier curve to (x, y) with the control point (cx, cy).
func (p *Path) QuadTo(cx, cy, x, y float64) {
	p.begin(cx, cy)
	p.add(quadTo, Point{cx, cy}, Point{x, y})
}

// CubeTo adds a cubic Bézier curve to (x, y) with the control points (ax, ay) and (bx, by).
func (p *Path) CubeTo(ax, ay, bx, by, x, y float64) {
	p.begin(ax, ay)
	p.add(cubeTo, Point{ax, ay}, Point{bx, by}, Point{x, y})
}

// Close joins the end of the present part to its start.
func (p *Path) Close() {
	if n := len(p.verbs); n > 0 && p.verbs[n-1] != closePath {
		p.add(closePath)
	}
}

// Rect adds the outline of r with its corners rounded to the radius (at most half the shorter side).
func (p *Path) Rect(r Rect, radius float64) {
	q := max(0, min(radius, r.W/2, r.H/2))
	x, y, u, v := r.X, r.Y, r.Right(), r.Bottom()
	if q == 0 {
		p.MoveTo(x, y)
		p.LineTo(u, y)
		p.LineTo(u, v)
		p.LineTo(x, v)
		p.Close()
		return
	}
	p.MoveTo(x+q, y)
	p.Arc(Point{u - q, y + q}, q, -math.Pi/2, 0)
	p.Arc(Point{u - q, v - q}, q, 0, math.Pi/2)
	p.Arc(Point{x + q, v - q}, q, math.Pi/2, math.Pi)
	p.Arc(Point{x + q, y + q}, q, math.Pi, 3*math.Pi/2)
	p.Close()
}

// Circle adds a closed circle of radius r.
func (p *Path) Circle(c Point, r float64) {
	p.MoveTo(c.X+r, c.Y)
	p.Arc(c, r, 0, 2*math.Pi)
	p.Close()
}

// Arc adds the arc of a circle of radius r between two angles in radians, measured from the x axis
// towards the y axis (clockwise to the eye, since y runs down). A line joins it to the path so far.
func (p *Path) Arc(c Point, r, from, to float64) {
	n := int(math.Ceil(math.Abs(to-from)/(math.Pi/2) - 1e-9))
	if !(n >= 0 && n < 1000) { // not a number, or past all sense
		return
	}
	sin, cos := math.Sincos(from)
	p.LineTo(c.X+r*cos, c.Y+r*sin)
	step := (to - from) / float64(max(n, 1))
	k := 4.0 / 3 * math.Tan(step/4) // the usual cubic for a circle; off by less than 0.03 % of r
	for i := range n {
		s, t := math.Sincos(from + float64(i+1)*step)
		p.CubeTo(c.X+r*(cos-k*sin), c.Y+r*(sin+k*cos), c.X+r*(t+k*s), c.Y+r*(s-k*t), c.X+r*t, c.Y+r*s)
		sin, cos = s, t
	}
}

// Ellipse adds a closed ellipse of half axes rx and ry, of which that of rx is turned from the x axis
// by an angle in radians, counter-clockwise to the eye.
func (p *Path) Ellipse(c Point, rx, ry, turn float64) {
	sin, cos := math.Sincos(turn)
	at := func(u, v float64) (x, y float64) {
		u, v = u*rx, v*ry
		return c.X + u*cos + v*sin, c.Y - u*sin + v*cos
	}
	const k = 4.0 / 3 * (math.Sqrt2 - 1) // as of Arc, for a quarter
	p.MoveTo(at(1, 0))
	for _, q := range [...][2]float64{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} { // (u, v) to (-v, u)
		ax, ay := at(q[0]-k*q[1], q[1]+k*q[0])
		bx, by := at(-q[1]+k*q[0], q[0]+k*q[1])
		x, y := at(-q[1], q[0])
		p.CubeTo(ax, ay, bx, by, x, y)
	}
	p.Close()
}

func (p *Path) add(v verb, pts ...Point) {
	p.verbs = append(p.verbs, v)
	p.points = append(p.points, pts...)
}

// begin starts the path at (x, y) if it has not begun, and reports whether it had.
func (p *Path) begin(x, y float64) bool {
	if len(p.verbs) > 0 {
		return true
	}
	p.MoveTo(x, y)
	return false
}

// box is the smallest rectangle that holds all points of the path, control points too; ok is false
// if there are none or one of them is no number.
func (p *Path) box() (r Rect, ok bool) {
	lo, hi := Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, q := range p.points {
		lo = Point{min(lo.X, q.X), min(lo.Y, q.Y)}
		hi = Point{max(hi.X, q.X), max(hi.Y, q.Y)}
	}
	r = Rect{lo.X, lo.Y, hi.X - lo.X, hi.Y - lo.Y}
	return r, r.finite()
}

// finite reports whether r lies where pixels can be counted.
func (r Rect) finite() bool {
	return r.X > -far && r.Y > -far && r.Right() < far && r.Bottom() < far && r.W >= 0 && r.H >= 0
}
