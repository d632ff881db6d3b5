package paper

import (
	"hash/maphash"
	"image/color"
	"math"
	"math/bits"
	"unsafe"
)

// seed makes the digests of texts; they are compared within one run of the program only.
var seed = maphash.MakeSeed()

// digest gathers numbers into one of 64 bits. Two different scenes' marks meet in one digest with a
// chance of about 1 in 10^19: nobody will see it happen.
type digest uint64

func (d *digest) add(v uint64) {
	hi, lo := bits.Mul64(uint64(*d)^v^0x9e3779b97f4a7c15, 0xd6e8feb86659fd93)
	*d = digest(bits.RotateLeft64(hi^lo, 23) + v)
}

func (d *digest) floats(list ...float64) {
	for _, v := range list {
		d.add(math.Float64bits(v))
	}
}

func (d *digest) rect(r Rect) { d.floats(r.X, r.Y, r.W, r.H) }

func (d *digest) colour(c color.NRGBA) {
	d.add(uint64(c.R) | uint64(c.G)<<8 | uint64(c.B)<<16 | uint64(c.A)<<24)
}

// digest is the digest of all of a mark that decides its pixels.
func (s *Scene) digest(m *mark) uint64 {
	var d digest
	d.add(uint64(m.Kind))
	d.rect(m.Bounds)
	d.rect(m.Clip)
	d.colour(m.Colour)
	d.floats(m.radius, m.width)
	switch m.Kind {
	case KindFill, KindStroke:
		for _, v := range s.path.verbs[m.path.verb:m.path.verbEnd] {
			d.add(uint64(v))
		}
		for _, p := range s.path.points[m.path.point:m.path.pointEnd] {
			d.floats(p.X, p.Y)
		}
	case KindLine:
		d.floats(m.ends[0].X, m.ends[0].Y, m.ends[1].X, m.ends[1].Y)
	case KindText, KindTextTurned:
		d.add(maphash.String(seed, m.Text))
		d.add(uint64(m.Weight))
		d.floats(m.origin.X, m.origin.Y, m.Size, m.angle)
	case KindPicture:
		// The painter holds on to the pixels, so no other picture can come to lie at their address.
		d.add(uint64(uintptr(unsafe.Pointer(unsafe.SliceData(m.picture.pix)))))
		d.add(uint64(m.picture.stride))
		d.add(uint64(m.picture.size.X))
		d.add(uint64(m.picture.size.Y))
		d.add(m.picture.version)
	}
	return uint64(d)
}
