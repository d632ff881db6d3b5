package paper

import (
	"image"
	"image/draw"
	"math"

	"golang.org/x/image/vector"
)

// raster turns outlines into masks. Its buffers are reused.
type raster struct {
	vector vector.Rasterizer
	alpha  image.Alpha
}

// bandRows is the height of the strips that a shape is cut into. A slanted line fills little of its
// box, but most of the box of a short piece of it.
const bandRows = 16

// far is past every image.
const far = 1e6

// mask fills an outline by the non-zero rule, within region. Where edges of the outline lie on each
// other, the parts of the pixels that they cover add up: such an edge looks a little fuller.
func (z *raster) mask(o *outline, region image.Rectangle) *mask {
	m := &mask{box: region}
	for y := region.Min.Y; y < region.Max.Y; y += bandRows {
		band := image.Rect(region.Min.X, y, region.Max.X, min(y+bandRows, region.Max.Y))
		left, right := o.between(float64(band.Min.Y), float64(band.Max.Y))
		if left < right {
			band.Min.X = max(band.Min.X, int(math.Floor(max(left, -far))))
			band.Max.X = min(band.Max.X, int(math.Ceil(min(right, far))))
		}
		if left >= right || band.Empty() {
			m.rows = append(m.rows, make([]rowRuns, min(bandRows, region.Max.Y-y))...)
			continue
		}
		z.fill(o, band)
		for y := range band.Dy() {
			m.addRow(band.Min.X, z.row(y))
		}
	}
	return m
}

// tallMask is like mask for a shape that is the same in all the rows of region from band rows below
// its top to band rows above its bottom; flat is its outline with all of those rows but one left out.
func (z *raster) tallMask(flat *outline, region image.Rectangle, band int) *mask {
	short := region
	short.Max.Y = region.Min.Y + 2*band + 1
	m := z.mask(flat, short)
	m.box = region
	rows := append([]rowRuns(nil), m.rows[:band]...)
	for range region.Dy() - 2*band {
		rows = append(rows, m.rows[band])
	}
	m.rows = append(rows, m.rows[band+1:]...)
	return m
}

// fill leaves the coverages of region in z.alpha.
func (z *raster) fill(o *outline, region image.Rectangle) {
	w, h := region.Dx(), region.Dy()
	if n := w * h; n > cap(z.alpha.Pix) {
		z.alpha.Pix = make([]uint8, n)
	} else {
		z.alpha.Pix = z.alpha.Pix[:n]
	}
	z.alpha.Stride, z.alpha.Rect = w, image.Rect(0, 0, w, h)
	z.vector.Reset(w, h)
	z.vector.DrawOp = draw.Src
	zero := Point{float64(region.Min.X), float64(region.Min.Y)}
	for i := range o.contours {
		pts := o.contours[i].points
		a := pts[len(pts)-1]
		for _, b := range pts {
			z.line(Point{a.X - zero.X, a.Y - zero.Y}, Point{b.X - zero.X, b.Y - zero.Y}, float64(w), float64(h))
			a = b
		}
	}
	z.vector.Draw(&z.alpha, z.alpha.Rect, image.Opaque, image.Point{})
}

func (z *raster) row(y int) []uint8 { return z.alpha.Pix[y*z.alpha.Stride:][:z.alpha.Stride] }

// line adds one line of an outline, cut down to what counts in a region of w by h pixels: above and
// below it nothing does, and to the left and right only which rows are passed. The rasterizer would
// lose its precision on lines that go far beyond.
func (z *raster) line(a, b Point, w, h float64) {
	if a.Y <= 0 && b.Y <= 0 || a.Y >= h && b.Y >= h {
		return
	}
	p, q := cut(a, b, 0, h)
	z.across(p, q, -4, w+4)
}

// across adds a line, with what lies outside of left and right moved onto them.
func (z *raster) across(p, q Point, left, right float64) {
	for _, x := range [2]float64{left, right} {
		if (p.X-x)*(q.X-x) < 0 && math.Abs(p.X-q.X) > 1e-6 {
			mid := Point{x, p.Y + (q.Y-p.Y)*(x-p.X)/(q.X-p.X)}
			z.across(p, mid, left, right)
			z.across(mid, q, left, right)
			return
		}
	}
	z.vector.MoveTo(float32(within(p.X, left, right)), float32(p.Y))
	z.vector.LineTo(float32(within(q.X, left, right)), float32(q.Y))
}
