package paper

// Point is a place on the paper, in logical pixels, y down.
type Point struct{ X, Y float64 }

// Rect is an upright rectangle in logical pixels: the top left corner, the width and the height.
type Rect struct{ X, Y, W, H float64 }

// Right is the x of the right edge.
func (r Rect) Right() float64 { return r.X + r.W }

// Bottom is the y of the lower edge.
func (r Rect) Bottom() float64 { return r.Y + r.H }

// Centre is the middle of r.
func (r Rect) Centre() Point { return Point{r.X + r.W/2, r.Y + r.H/2} }

// Empty reports whether r has no area.
func (r Rect) Empty() bool { return !(r.W > 0 && r.H > 0) }

// Contains reports whether p lies in r: the left and upper edges belong to r, the others do not, so
// that a point on the edge between two neighbours belongs to one of them.
func (r Rect) Contains(p Point) bool {
	return p.X >= r.X && p.X < r.Right() && p.Y >= r.Y && p.Y < r.Bottom()
}

// Inset moves every edge of r inward by d (outward if d is negative). A rectangle too small for
// that shrinks to its own centre.
func (r Rect) Inset(d float64) Rect {
	dx, dy := min(d, r.W/2), min(d, r.H/2)
	return Rect{r.X + dx, r.Y + dy, r.W - 2*dx, r.H - 2*dy}
}

// Intersect is the part common to r and q; the zero Rect if there is none.
func (r Rect) Intersect(q Rect) Rect {
	x, y := max(r.X, q.X), max(r.Y, q.Y)
	c := Rect{x, y, min(r.Right(), q.Right()) - x, min(r.Bottom(), q.Bottom()) - y}
	if c.Empty() {
		return Rect{}
	}
	return c
}

// Union is the smallest rectangle that holds both r and q; an empty one counts for nothing.
func (r Rect) Union(q Rect) Rect {
	if r.Empty() {
		return q
	}
	if q.Empty() {
		return r
	}
	x, y := min(r.X, q.X), min(r.Y, q.Y)
	return Rect{x, y, max(r.Right(), q.Right()) - x, max(r.Bottom(), q.Bottom()) - y}
}

// Overlaps reports whether r and q share an area; edges that only touch do not.
func (r Rect) Overlaps(q Rect) bool { return !r.Intersect(q).Empty() }

// CutTop cuts a strip of height h (at most all of r) off the top.
func (r Rect) CutTop(h float64) (part, rest Rect) {
	h = min(max(h, 0), r.H)
	return Rect{r.X, r.Y, r.W, h}, Rect{r.X, r.Y + h, r.W, r.H - h}
}

// CutBottom cuts a strip of height h (at most all of r) off the bottom.
func (r Rect) CutBottom(h float64) (part, rest Rect) {
	rest, part = r.CutTop(r.H - min(max(h, 0), r.H))
	return part, rest
}

// CutLeft cuts a strip of width w (at most all of r) off the left side.
func (r Rect) CutLeft(w float64) (part, rest Rect) {
	w = min(max(w, 0), r.W)
	return Rect{r.X, r.Y, w, r.H}, Rect{r.X + w, r.Y, r.W - w, r.H}
}

// CutRight cuts a strip of width w (at most all of r) off the right side.
func (r Rect) CutRight(w float64) (part, rest Rect) {
	rest, part = r.CutLeft(r.W - min(max(w, 0), r.W))
	return part, rest
}
