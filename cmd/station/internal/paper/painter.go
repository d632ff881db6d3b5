package paper

import (
	"image"
	"image/color"
	"math"
)

// Painter turns scenes into pixels. It remembers the last scene, and paints only what differs.
// A Painter is not for use by several goroutines at once.
type Painter struct {
	img      *image.RGBA
	scale    float64
	ground   color.NRGBA
	last     []entry
	now      []entry
	pictures []picture // those of the last scene, see Scene.digest
	damages  []image.Rectangle
	differ   differ
	masks    map[uint64]*mask // of the shapes of the last scene, by digest
	glyphs   glyphs
	outline  outline
	pen      outline
	flat     Path
	raster   raster
	scaler   scaler
}

// NewPainter makes a painter that has painted nothing yet.
func NewPainter() *Painter {
	return &Painter{
		img:    image.NewRGBA(image.Rectangle{}),
		masks:  map[uint64]*mask{},
		glyphs: glyphs{masks: map[glyphKey]*mask{}},
	}
}

// Image is what has been painted: opaque, of the size of the last scene in device pixels. It stays
// the same image until the size changes.
func (p *Painter) Image() *image.RGBA { return p.img }

// Damages are the parts of the image that the last Paint painted anew, at most eight, which may
// overlap. The list is good until the next Paint.
func (p *Painter) Damages() []image.Rectangle { return p.damages }

// Paint brings the image up to date with a scene and gives the box around all that it painted
// anew, empty if the scene looks like the last. scale, a positive number, is the number of device
// pixels in a logical pixel.
func (p *Painter) Paint(s *Scene, scale float64) (damage image.Rectangle) {
	if !(scale > 0) || scale > 100 {
		panic("paper: the scale must be a positive number of at most 100")
	}
	whole := p.prepare(s, scale)
	p.now = p.now[:0]
	for i := range s.marks {
		m := &s.marks[i]
		p.now = append(p.now, entry{s.digest(m), m.reach(scale).Intersect(p.img.Rect)})
	}
	p.damages = p.damages[:0]
	if whole {
		p.damages = addDamage(p.damages, p.img.Rect)
	} else {
		p.differ.differ(p.last, p.now, func(r image.Rectangle) { p.damages = addDamage(p.damages, r) })
	}
	for _, r := range p.damages {
		p.repaint(s, r)
		damage = damage.Union(r)
	}
	p.last, p.now = p.now, p.last
	p.remember(s)
	return damage
}

// prepare makes the image fit the scene and reports whether all of it must be painted.
func (p *Painter) prepare(s *Scene, scale float64) bool {
	size := image.Rect(0, 0, pixels(s.w*scale), pixels(s.h*scale))
	if p.img.Rect == size && p.scale == scale {
		changed := p.ground != s.ground
		p.ground = s.ground
		return changed
	}
	if p.img.Rect != size {
		p.img = image.NewRGBA(size)
	}
	if p.scale != scale {
		clear(p.glyphs.masks)
	}
	clear(p.masks) // they are cut off at the edge of the image
	p.scale, p.ground = scale, s.ground
	return true
}

// pixels is how many device pixels it takes to show a length; none for what is no length.
func pixels(length float64) int {
	if !(length > 0) {
		return 0
	}
	return int(min(math.Ceil(length-1e-9), 1<<15))
}

// repaint paints everything within r.
func (p *Painter) repaint(s *Scene, r image.Rectangle) {
	fill(p.img, r, p.ground)
	for i := range s.marks {
		if clip := p.now[i].reach.Intersect(r); !clip.Empty() {
			p.mark(s, i, clip)
		}
	}
}

// mark paints a mark within clip, which lies in its reach.
func (p *Painter) mark(s *Scene, i int, clip image.Rectangle) {
	m, scale := &s.marks[i], p.scale
	switch {
	case m.Kind == KindPicture:
		p.scaler.paint(p.img, snap(m.Bounds, scale), &m.picture, clip)
	case m.byGlyph(scale):
		p.text(m, clip)
	case m.Kind == KindBox && m.radius <= 0, m.Kind == KindLine && m.upright():
		fill(p.img, clip, m.Colour)
	default:
		e := &p.now[i]
		shape, known := p.masks[e.digest]
		if !known {
			shape = p.shape(s, m, e.reach)
			p.masks[e.digest] = shape
		}
		shape.blend(p.img, 0, 0, m.Colour, clip)
	}
}

// remember keeps what the next Paint needs of this scene, and lets go of shapes not in it when
// there are many.
func (p *Painter) remember(s *Scene) {
	clear(p.pictures)
	p.pictures = p.pictures[:0]
	for i := range s.marks {
		if m := &s.marks[i]; m.Kind == KindPicture {
			p.pictures = append(p.pictures, m.picture)
		}
	}
	if len(p.masks) <= 2*len(p.last)+64 {
		return
	}
	live := make(map[uint64]bool, len(p.last))
	for _, e := range p.last {
		live[e.digest] = true
	}
	for d := range p.masks {
		if !live[d] {
			delete(p.masks, d)
		}
	}
}
