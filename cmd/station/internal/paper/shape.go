package paper

import (
	"image"
	"math"
)

// reach is the box of device pixels that a mark may touch. It is never painted outside of it.
func (m *mark) reach(scale float64) image.Rectangle {
	clip := Rect{m.Clip.X * scale, m.Clip.Y * scale, m.Clip.W * scale, m.Clip.H * scale}
	return m.extent(scale).Intersect(nearest(clip))
}

// extent is the reach without the clip.
func (m *mark) extent(scale float64) image.Rectangle {
	r := m.Bounds
	switch m.Kind {
	case KindBox, KindFrame, KindPicture:
		return snap(r, scale)
	case KindLine:
		if m.upright() {
			return m.bar(scale)
		}
	case KindText, KindTextTurned: // the box by advance and ascent; the ink goes a little beyond
		r = r.Inset(-overhang * m.Size)
	}
	return outward(Rect{r.X * scale, r.Y * scale, r.W * scale, r.H * scale}).Inset(-1)
}

// overhang is how far, in parts of the em, ink may lie beyond the advance width and the ascent and
// descent of a text. A test looks at every glyph.
const overhang = 0.3

// nearest is the rectangle of pixels whose edges are nearest to those of r.
func nearest(r Rect) image.Rectangle {
	round := func(v float64) int { return int(math.Floor(v + 0.5)) }
	return image.Rectangle{image.Pt(round(r.X), round(r.Y)), image.Pt(round(r.Right()), round(r.Bottom()))}
}

// outward is the least rectangle of pixels that holds r.
func outward(r Rect) image.Rectangle {
	return image.Rect(int(math.Floor(r.X)), int(math.Floor(r.Y)), int(math.Ceil(r.Right())), int(math.Ceil(r.Bottom())))
}

// snap is the rectangle of device pixels of a box: the nearest, but none of its sides vanishes.
func snap(r Rect, scale float64) image.Rectangle {
	p := nearest(Rect{r.X * scale, r.Y * scale, r.W * scale, r.H * scale})
	if r.W > 0 && p.Dx() == 0 {
		p.Min.X = int(math.Floor((r.X + r.W/2) * scale))
		p.Max.X = p.Min.X + 1
	}
	if r.H > 0 && p.Dy() == 0 {
		p.Min.Y = int(math.Floor((r.Y + r.H/2) * scale))
		p.Max.Y = p.Min.Y + 1
	}
	return p
}

// upright reports whether a line runs along the rows or columns of pixels.
func (m *mark) upright() bool { return m.ends[0].X == m.ends[1].X || m.ends[0].Y == m.ends[1].Y }

// bar is the rectangle of device pixels of an upright or level line.
func (m *mark) bar(scale float64) image.Rectangle {
	a, b, half := m.ends[0], m.ends[1], thickness(m.width, scale)/2
	r := nearest(Rect{min(a.X, b.X) * scale, min(a.Y, b.Y) * scale, math.Abs(b.X-a.X) * scale, math.Abs(b.Y-a.Y) * scale})
	if a.X == b.X {
		r.Min.X = int(math.Round(a.X*scale - half))
		r.Max.X = r.Min.X + int(2*half)
	} else {
		r.Min.Y = int(math.Round(a.Y*scale - half))
		r.Max.Y = r.Min.Y + int(2*half)
	}
	return r
}

// thickness is the whole number of device pixels for the width of a line, at least one.
func thickness(width, scale float64) float64 { return max(1, math.Round(width*scale)) }

// shape is the coverage of a mark within its reach.
func (p *Painter) shape(s *Scene, m *mark, reach image.Rectangle) *mask {
	scale := p.scale
	p.outline.reset()
	p.flat.Reset()
	switch m.Kind {
	case KindBox, KindFrame:
		return p.boxShape(m, reach)
	case KindText, KindTextTurned:
		return p.textShape(m, reach)
	case KindLine:
		a, b := m.ends[0], m.ends[1]
		d, _ := along(a, b)
		x, y := d.Y*m.width/2, -d.X*m.width/2
		p.flat.MoveTo(a.X+x, a.Y+y)
		p.flat.LineTo(b.X+x, b.Y+y)
		p.flat.LineTo(b.X-x, b.Y-y)
		p.flat.LineTo(a.X-x, a.Y-y)
		p.addScaled(p.flat.verbs, p.flat.points)
	case KindFill, KindStroke:
		k := m.path
		p.addScaled(s.path.verbs[k.verb:k.verbEnd], s.path.points[k.point:k.pointEnd])
	}
	shape := &p.outline
	if m.Kind == KindStroke {
		p.pen.reset()
		p.outline.stroke(&p.pen, m.width*scale/2)
		shape = &p.pen
	}
	return p.raster.mask(shape, reach)
}

func (p *Painter) addScaled(verbs []verb, pts []Point) {
	p.outline.addPath(verbs, pts, func(q Point) Point { return Point{q.X * p.scale, q.Y * p.scale} })
}

// boxShape is the coverage of a rounded box or of a frame. The rows between its corners are all the
// same, and only one of them is computed, unless the box goes far beyond the image.
func (p *Painter) boxShape(m *mark, reach image.Rectangle) *mask {
	full := snap(m.Bounds, p.scale)
	radius := min(max(m.radius, 0)*p.scale, float64(full.Dx())/2, float64(full.Dy())/2)
	edge := 0
	if m.Kind == KindFrame {
		edge = int(min(thickness(m.width, p.scale), float64(full.Dx()+full.Dy())))
	}
	band := max(int(math.Ceil(radius)), edge)
	flat := full
	near := full.In(p.img.Rect.Inset(-100))
	if near && full.Dy() > 2*band+1 {
		flat.Max.Y = flat.Min.Y + 2*band + 1
	}
	outer := Rect{float64(flat.Min.X), float64(flat.Min.Y), float64(flat.Dx()), float64(flat.Dy())}
	p.flat.Rect(outer, radius)
	as := func(q Point) Point { return q }
	p.outline.addPath(p.flat.verbs, p.flat.points, as)
	if e := float64(edge); e > 0 && 2*e < outer.W && 2*e < outer.H {
		p.flat.Reset()
		p.flat.Rect(outer.Inset(e), radius-e)
		hole := len(p.outline.contours)
		p.outline.addPath(p.flat.verbs, p.flat.points, as)
		p.outline.contours[hole].reverse()
	}
	if flat == full {
		return p.raster.mask(&p.outline, reach)
	}
	return p.raster.tallMask(&p.outline, full, band)
}

// reverse makes the contour wind the other way.
func (c *contour) reverse() {
	for i, j := 0, len(c.points)-1; i < j; i, j = i+1, j-1 {
		c.points[i], c.points[j] = c.points[j], c.points[i]
	}
}
