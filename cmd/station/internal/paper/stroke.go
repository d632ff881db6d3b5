package paper

import "math"

// stroke adds to out the outline of a pen of half-width h drawn along the contours of o, with round
// joins and ends. All parts wind the same way, so that a non-zero filling covers them once.
func (o *outline) stroke(out *outline, h float64) {
	for i := range o.contours {
		c := &o.contours[i]
		if len(c.points) == 1 && !c.closed { // moved to, but nothing drawn
			continue
		}
		c.dropRepeats()
		switch n := len(c.points); {
		case n == 1:
			turn(out.begin(), c.points[0], Point{h, 0}, 2*math.Pi)
		case c.closed && n > 2:
			c.side(out.begin(), h, n, 1)
			c.side(out.begin(), h, n, -1)
		default:
			edge := out.begin()
			c.side(edge, h, n, 1)
			c.side(edge, h, n, -1)
		}
	}
}

// dropRepeats leaves out points that lie on the one before, and the last of a closed contour if it
// is the first again.
func (c *contour) dropRepeats() {
	kept := c.points[:1]
	for _, p := range c.points[1:] {
		if apart(p, kept[len(kept)-1]) {
			kept = append(kept, p)
		}
	}
	if n := len(kept); c.closed && n > 1 && !apart(kept[0], kept[n-1]) {
		kept = kept[:n-1]
	}
	c.points = kept
}

// apart reports whether two points differ enough to give a direction.
func apart(p, q Point) bool { return math.Hypot(p.X-q.X, p.Y-q.Y) > 1e-4 }

// side adds the left edge of the stroke along the n points of c, walked forward (step 1) or back
// (step -1), and at the end of an open contour the round end.
func (c *contour) side(out *contour, h float64, n, step int) {
	at := func(i int) Point {
		if step < 0 {
			i = n - 1 - i
		}
		return c.points[((i%n)+n)%n]
	}
	ring := c.closed && n > 2
	last := n - 1 // number of segments
	if ring {
		last = n
	}
	d, long := along(at(0), at(1))
	if !ring {
		out.add(Point{at(0).X + d.Y*h, at(0).Y - d.X*h})
	}
	for i := 1; i <= last; i++ {
		pivot, normal := at(i), Point{d.Y * h, -d.X * h}
		if i == last && !ring {
			turn(out, pivot, normal, math.Pi)
			return
		}
		next, reach := along(pivot, at(i+1))
		join(out, pivot, d, next, h, min(long, reach)/2)
		d, long = next, reach
	}
}

// join adds the left edge at a joint where the direction changes from d to e. room is how far
// along its two segments the edge may be cut.
func join(out *contour, pivot, d, e Point, h, room float64) {
	cross, dot := d.X*e.Y-d.Y*e.X, d.X*e.X+d.Y*e.Y
	n, m := Point{d.Y * h, -d.X * h}, Point{e.Y * h, -e.X * h}
	switch {
	case cross >= 0: // the left edge is the outer one, or the way turns straight back
		turn(out, pivot, n, math.Atan2(cross, dot))
	case -cross*h <= room*(1+dot): // tan(half the turn) = sin/(1+cos): the two edges meet
		k := 1 / (1 + dot)
		out.add(Point{pivot.X + (n.X+m.X)*k, pivot.Y + (n.Y+m.Y)*k})
	default: // too tight: by way of the pivot each segment keeps its own outline
		out.add(Point{pivot.X + n.X, pivot.Y + n.Y})
		out.add(pivot)
		out.add(Point{pivot.X + m.X, pivot.Y + m.Y})
	}
}

// turn adds the arc that n sweeps about the pivot when it turns by an angle from x towards y.
func turn(out *contour, pivot, n Point, angle float64) {
	h := math.Hypot(n.X, n.Y)
	most := 2 * math.Acos(1-min(flatness/h, 1))
	steps := int(min(max(1, math.Ceil(angle/most)), 1000)) // more only for a pen of an absurd width
	out.add(Point{pivot.X + n.X, pivot.Y + n.Y})
	if angle == 0 {
		return
	}
	for i := 1; i <= steps; i++ {
		s, c := math.Sincos(angle * float64(i) / float64(steps))
		out.add(Point{pivot.X + c*n.X - s*n.Y, pivot.Y + s*n.X + c*n.Y})
	}
}

// along is the direction and distance from p to q.
func along(p, q Point) (d Point, long float64) {
	long = math.Hypot(q.X-p.X, q.Y-p.Y)
	return Point{(q.X - p.X) / long, (q.Y - p.Y) / long}, long
}
