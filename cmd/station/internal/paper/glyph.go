package paper

import (
	"image"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// quarters is how many places within a device pixel a glyph can start at: enough for even spacing.
const quarters = 4

// glyphKey names the picture of a glyph.
type glyphKey struct {
	weight  Weight
	quarter uint8 // place in the pixel
	glyph   sfnt.GlyphIndex
	size    fixed.Int26_6 // device pixels to the em
}

// glyphs keeps the coverage of the glyphs that have been used.
type glyphs struct {
	masks map[glyphKey]*mask // nil for a glyph without ink
	buf   sfnt.Buffer
	verbs []verb
	pts   []Point
}

// largest is the size, in device pixels to the em, up to which glyphs are kept one by one.
const largest = 200

// byGlyph reports whether a text is put together from kept glyphs: if it is level and not huge.
func (m *mark) byGlyph(scale float64) bool {
	return (m.Kind == KindText || m.Kind == KindTextTurned && m.angle == 0) && m.Size*scale <= largest
}

// text paints a text from kept glyphs.
func (p *Painter) text(m *mark, clip image.Rectangle) {
	size, start := m.Size*p.scale, m.start(p.scale)
	t, key := m.Weight.face(), glyphKey{weight: m.Weight, size: fixed.Int26_6(math.Round(size * 64))}
	base, pen := int(math.Round(start.Y)), 0.0
	for _, r := range m.Text {
		key.glyph = t.glyph(r)
		place := int(math.Round((start.X + pen*size) * quarters))
		whole := place >> 2
		key.quarter = uint8(place & 3)
		if g := p.glyph(t, key); g != nil {
			g.blend(p.img, whole, base, m.Colour, clip)
		}
		pen += t.advances[key.glyph]
	}
}

// glyph is the coverage of a glyph with its origin in the pixel (0, 0).
func (p *Painter) glyph(t *typeface, key glyphKey) *mask {
	m, known := p.glyphs.masks[key]
	if known {
		return m
	}
	if len(p.glyphs.masks) > 4000 { // a screen shows some hundreds
		clear(p.glyphs.masks)
	}
	shift := float64(key.quarter) / quarters
	p.outline.reset()
	p.glyphs.outline(&p.outline, t, key.glyph, key.size, func(q Point) Point { return Point{q.X + shift, q.Y} })
	if len(p.outline.contours) > 0 {
		m = p.raster.mask(&p.outline, p.outline.box())
	}
	p.glyphs.masks[key] = m
	return m
}

// outline adds a glyph to o, its points in device pixels from its origin taken through to. size is
// in device pixels to the em.
func (g *glyphs) outline(o *outline, t *typeface, i sfnt.GlyphIndex, size fixed.Int26_6, to func(Point) Point) {
	segments, err := t.font.LoadGlyph(&g.buf, i, size, nil)
	if err != nil || len(segments) == 0 { // no glyph of the two fonts fails; a test reads them all
		return
	}
	g.verbs, g.pts = g.verbs[:0], g.pts[:0]
	for _, s := range segments {
		v := [...]verb{sfnt.SegmentOpMoveTo: moveTo, sfnt.SegmentOpLineTo: lineTo, sfnt.SegmentOpQuadTo: quadTo, sfnt.SegmentOpCubeTo: cubeTo}[s.Op]
		g.verbs = append(g.verbs, v)
		for _, a := range s.Args[:points[v]] {
			g.pts = append(g.pts, Point{float64(a.X) / 64, float64(a.Y) / 64})
		}
	}
	o.addPath(g.verbs, g.pts, to)
}

// textShape is the coverage of a turned or very large text.
func (p *Painter) textShape(m *mark, region image.Rectangle) *mask {
	const drawn = 2048 // the parts of the em that the two fonts are drawn in
	t, size := m.Weight.face(), m.Size*p.scale
	sin, cos := math.Sincos(m.angle)
	start, pen, part := m.start(p.scale), 0.0, size/drawn
	place := func(q Point) Point {
		u, v := pen+q.X*part, q.Y*part
		return Point{start.X + u*cos + v*sin, start.Y - u*sin + v*cos}
	}
	p.outline.reset()
	for _, r := range m.Text {
		g := t.glyph(r)
		p.glyphs.outline(&p.outline, t, g, fixed.I(drawn), place)
		pen += t.advances[g] * size
	}
	return p.raster.mask(&p.outline, region)
}

// start is where the baseline of a text starts, in device pixels.
func (m *mark) start(scale float64) Point {
	o := Point{m.origin.X * scale, m.origin.Y * scale}
	if m.Kind == KindText {
		return o
	}
	x, y := -Width(m.Text, m.Size*scale, m.Weight)/2, CapHeight(m.Size*scale, m.Weight)/2
	sin, cos := math.Sincos(m.angle)
	return Point{o.X + x*cos + y*sin, o.Y - x*sin + y*cos}
}
