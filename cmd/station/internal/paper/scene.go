package paper

import (
	"image"
	"image/color"
	"math"
)

// Kind says what a mark is.
type Kind uint8

// The kinds of mark, each named for the method of Scene that lays it down.
const (
	KindFill Kind = iota
	KindStroke
	KindBox
	KindFrame
	KindLine
	KindText
	KindTextTurned
	KindPicture
)

// Mark is one thing on a scene, as a test or a reader of the scene sees it.
type Mark struct {
	Kind   Kind
	Bounds Rect        // the place it takes, before clipping; of a text, its advance width by its ascent and descent
	Text   string      // of a text
	Size   float64     // of a text, in logical pixels
	Weight Weight      // of a text
	Colour color.NRGBA // not of a picture
	Clip   Rect        // the part of the paper it may touch
}

// mark is a Mark with what the painter needs.
type mark struct {
	Mark
	origin  Point   // start of the baseline; centre of a turned text
	radius  float64 // of a box or frame
	width   float64 // of a stroke, frame or line
	angle   float64 // of a turned text, radians counter-clockwise
	ends    [2]Point
	path    span // of a fill or stroke, in Scene.path
	picture picture
}

// span is a range of a Scene's verbs and points.
type span struct{ verb, verbEnd, point, pointEnd int }

// picture is an image that is painted, not copied.
type picture struct {
	pix     []uint8
	stride  int
	size    image.Point
	version uint64
}

// Scene is an ordered list of marks on a ground; a later mark lies over an earlier one. The zero
// value is an empty scene without size: Reset it first. A mark of which a coordinate is no number
// (or past a million) is left out.
type Scene struct {
	w, h   float64
	ground color.NRGBA
	marks  []mark
	path   Path
	clip   Rect
	clips  []Rect
}

// Reset empties the scene, keeping its memory, and gives it a size in logical pixels and a ground
// colour (its alpha is taken as full).
func (s *Scene) Reset(w, h float64, ground color.NRGBA) {
	ground.A = 255
	s.w, s.h, s.ground = w, h, ground
	clear(s.marks) // lets go of pictures and texts
	s.marks, s.clips = s.marks[:0], s.clips[:0]
	s.path.Reset()
	s.clip = Rect{0, 0, w, h}
}

// Size is the width and height of the scene in logical pixels.
func (s *Scene) Size() (w, h float64) { return s.w, s.h }

// Clip keeps the marks that follow within r (and within the clip so far) until Unclip.
func (s *Scene) Clip(r Rect) {
	s.clips = append(s.clips, s.clip)
	s.clip = s.clip.Intersect(r)
}

// Unclip goes back to the clip before the last Clip.
func (s *Scene) Unclip() {
	n := len(s.clips)
	if n == 0 {
		panic("paper: Unclip without Clip")
	}
	s.clip, s.clips = s.clips[n-1], s.clips[:n-1]
}

// Fill fills the path with a colour; where parts overlap the inside is what the outline winds
// around (the non-zero rule). An open part is closed. The path is copied.
func (s *Scene) Fill(p *Path, c color.NRGBA) {
	if r, ok := p.box(); ok {
		s.add(mark{Mark: Mark{Kind: KindFill, Bounds: r, Colour: c}, path: s.keep(p)})
	}
}

// Stroke draws along the path with a pen of the given width, with round joins and ends. A
// translucent colour is laid down once even where the path crosses itself. The path is copied.
func (s *Scene) Stroke(p *Path, width float64, c color.NRGBA) {
	if r, ok := p.box(); ok && width > 0 {
		s.add(mark{Mark: Mark{Kind: KindStroke, Bounds: r.Inset(-width / 2), Colour: c}, width: width, path: s.keep(p)})
	}
}

// Box fills r, with corners of the given radius. Its edges are put on the nearest device pixels, so
// that they are sharp; a box is never thinner than one.
func (s *Scene) Box(r Rect, radius float64, c color.NRGBA) {
	s.add(mark{Mark: Mark{Kind: KindBox, Bounds: r, Colour: c}, radius: radius})
}

// Frame draws a border of the given width just inside r. Edges and width are put on device pixels
// as with Box.
func (s *Scene) Frame(r Rect, radius, width float64, c color.NRGBA) {
	if width > 0 {
		s.add(mark{Mark: Mark{Kind: KindFrame, Bounds: r, Colour: c}, radius: radius, width: width})
	}
}

// Line draws a straight line that ends square at its two ends. An upright or level line is put on
// the nearest device pixels, at least one wide, so that it is sharp.
func (s *Scene) Line(x0, y0, x1, y1, width float64, c color.NRGBA) {
	if !(width > 0) {
		return
	}
	s.add(mark{
		Mark: Mark{Kind: KindLine, Bounds: lineBounds(Point{x0, y0}, Point{x1, y1}, width), Colour: c},
		ends: [2]Point{{x0, y0}, {x1, y1}}, width: width,
	})
}

// lineBounds is the box around a square-ended line.
func lineBounds(a, b Point, width float64) Rect {
	long := math.Hypot(b.X-a.X, b.Y-a.Y)
	if long == 0 {
		return Rect{a.X, a.Y, 0, 0}
	}
	dx, dy := math.Abs(b.Y-a.Y)/long*width, math.Abs(b.X-a.X)/long*width
	x, y := min(a.X, b.X)-dx/2, min(a.Y, b.Y)-dy/2
	return Rect{x, y, math.Abs(b.X-a.X) + dx, math.Abs(b.Y-a.Y) + dy}
}

// Text writes a line of text that starts at x on the baseline, size logical pixels to the em. The
// baseline is put on the nearest device pixel.
func (s *Scene) Text(x, baseline, size float64, w Weight, text string, c color.NRGBA) {
	r := Rect{x, baseline - Ascent(size, w), Width(text, size, w), Ascent(size, w) + Descent(size, w)}
	s.addText(mark{Mark: Mark{Kind: KindText, Bounds: r, Text: text, Size: size, Weight: w, Colour: c}, origin: Point{x, baseline}})
}

// TextTurned writes a text centred (by its width and the height of its capitals) on a point and
// turned counter-clockwise by an angle in radians.
func (s *Scene) TextTurned(centre Point, angle, size float64, w Weight, text string, c color.NRGBA) {
	long, high := Width(text, size, w), Ascent(size, w)+Descent(size, w)
	sin, cos := math.Sincos(angle)
	bw := math.Abs(cos)*long + math.Abs(sin)*high
	bh := math.Abs(sin)*long + math.Abs(cos)*high
	r := Rect{centre.X - bw/2, centre.Y - bh/2, bw, bh}
	s.addText(mark{Mark: Mark{Kind: KindTextTurned, Bounds: r, Text: text, Size: size, Weight: w, Colour: c}, origin: centre, angle: angle})
}

// Picture paints an image, scaled smoothly to fill r, whose edges are put on device pixels. The
// image (an *image.RGBA or *image.NRGBA; it is taken as opaque) is not copied: whoever changes its
// pixels gives it a new version, or the old ones stay on the paper.
func (s *Scene) Picture(r Rect, img image.Image, version uint64) {
	p := picture{version: version, size: img.Bounds().Size()}
	switch m := img.(type) {
	case *image.RGBA:
		p.pix, p.stride = m.Pix, m.Stride
	case *image.NRGBA:
		p.pix, p.stride = m.Pix, m.Stride
	default:
		panic("paper: Picture takes an *image.RGBA or an *image.NRGBA")
	}
	if p.size.X > 0 && p.size.Y > 0 {
		s.add(mark{Mark: Mark{Kind: KindPicture, Bounds: r}, picture: p})
	}
}

// Marks lists what is on the scene, in order, for tests and readers.
func (s *Scene) Marks() []Mark {
	list := make([]Mark, len(s.marks))
	for i := range s.marks {
		list[i] = s.marks[i].Mark
	}
	return list
}

// add lays down a mark unless it can't be seen.
func (s *Scene) add(m mark) {
	if !m.sound() || m.Kind != KindPicture && m.Colour.A == 0 {
		return
	}
	m.Clip = s.clip
	s.marks = append(s.marks, m)
}

// sound reports whether the numbers of a mark can be painted.
func (m *mark) sound() bool {
	reach := m.origin.X + m.origin.Y + m.width + m.angle // Inf or NaN if one of them is
	return m.Bounds.finite() && reach-reach == 0 && m.radius == m.radius
}

func (s *Scene) addText(m mark) {
	if m.Text != "" && m.Size > 0 {
		s.add(m)
	}
}

// keep copies a path into the scene.
func (s *Scene) keep(p *Path) span {
	k := span{verb: len(s.path.verbs), point: len(s.path.points)}
	s.path.verbs = append(s.path.verbs, p.verbs...)
	s.path.points = append(s.path.points, p.points...)
	k.verbEnd, k.pointEnd = len(s.path.verbs), len(s.path.points)
	return k
}
