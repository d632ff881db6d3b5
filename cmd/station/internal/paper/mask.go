package paper

import (
	"encoding/binary"
	"image"
	"image/color"
)

// mask is how much of each device pixel a shape covers. Rows are kept as runs, so that the empty
// inside of a ring and the full inside of a panel cost next to nothing.
type mask struct {
	box   image.Rectangle // of the rows, in device pixels
	rows  []rowRuns       // from box.Min.Y down; several may share their runs
	runs  []run
	cover []uint8
}

// rowRuns is a range of a mask's runs.
type rowRuns struct{ from, to int32 }

// run is a stretch of covered pixels in a row. Its coverages start at cover[at]; an at of -1 means
// that all are full.
type run struct{ x, n, at int32 }

// addRow appends a row of coverages, of which the first belongs to the pixel x.
func (m *mask) addRow(x int, cover []uint8) {
	from := len(m.runs)
	for i := 0; i < len(cover); {
		i += leading(cover[i:], 0)
		if i == len(cover) {
			break
		}
		n, at := leading(cover[i:], 255), int32(-1)
		if n < 4 { // too short to be worth a run of its own
			at = int32(len(m.cover))
			for n = 0; i+n < len(cover) && cover[i+n] != 0; n++ {
				if n > 0 && leading(cover[i+n:min(i+n+8, len(cover))], 255) == 8 {
					break
				}
			}
			m.cover = append(m.cover, cover[i:i+n]...)
		}
		m.runs = append(m.runs, run{int32(x + i), int32(n), at})
		i += n
	}
	m.rows = append(m.rows, rowRuns{int32(from), int32(len(m.runs))})
}

// leading counts the bytes at the start of b that equal v.
func leading(b []uint8, v uint8) int {
	n, eight := 0, uint64(v)*0x0101010101010101
	for len(b)-n >= 8 && binary.LittleEndian.Uint64(b[n:]) == eight {
		n += 8
	}
	for n < len(b) && b[n] == v {
		n++
	}
	return n
}

// blend lays a colour over the image where the mask, moved by (dx, dy), covers it, within clip,
// which lies in the image.
func (m *mask) blend(dst *image.RGBA, dx, dy int, c color.NRGBA, clip image.Rectangle) {
	r := m.box.Add(image.Pt(dx, dy)).Intersect(clip)
	if r.Empty() {
		return
	}
	for y := r.Min.Y; y < r.Max.Y; y++ {
		row := m.rows[y-dy-m.box.Min.Y]
		line := dst.Pix[y*dst.Stride : y*dst.Stride+4*r.Max.X]
		for _, u := range m.runs[row.from:row.to] {
			from, to := max(int(u.x)+dx, r.Min.X), min(int(u.x+u.n)+dx, r.Max.X)
			if from >= to {
				continue
			}
			if u.at < 0 {
				tint(line[4*from:4*to], c)
				continue
			}
			skip := from - dx - int(u.x)
			cover := m.cover[int(u.at)+skip : int(u.at)+skip+to-from]
			lay(line[4*from:4*to], cover, c)
		}
	}
}

// fill lays a colour over a rectangle, which lies in the image.
func fill(dst *image.RGBA, r image.Rectangle, c color.NRGBA) {
	if r.Empty() {
		return
	}
	first := dst.Pix[dst.PixOffset(r.Min.X, r.Min.Y):][:4*r.Dx()]
	tint(first, c)
	for y := r.Min.Y + 1; y < r.Max.Y; y++ {
		line := dst.Pix[dst.PixOffset(r.Min.X, y):][:len(first)]
		if c.A == 255 {
			copy(line, first)
		} else {
			tint(line, c)
		}
	}
}

// tint lays a colour over whole pixels.
func tint(pix []uint8, c color.NRGBA) {
	if c.A == 255 {
		pix[0], pix[1], pix[2], pix[3] = c.R, c.G, c.B, 255
		for n := 4; n < len(pix); n *= 2 {
			copy(pix[n:], pix[:n])
		}
		return
	}
	// Most neighbours have one colour, and so what becomes of them.
	var was, now [4]uint8
	for ; len(pix) >= 4; pix = pix[4:] {
		d := (*[4]uint8)(pix)
		if *d != was || d[3] == 0 { // none is clear, as was is at first
			was = *d
			over(d, c, uint32(c.A))
			now = *d
		}
		*d = now
	}
}

// lay lays a colour over pixels, each as far as it is covered.
func lay(pix, cover []uint8, c color.NRGBA) {
	alpha := uint32(c.A)
	for _, v := range cover {
		d := (*[4]uint8)(pix)
		if a := over255(uint32(v) * alpha); a == 255 {
			d[0], d[1], d[2] = c.R, c.G, c.B
		} else {
			over(d, c, a)
		}
		pix = pix[4:]
	}
}

// over mixes a colour into an opaque pixel: a parts of 255 of it.
func over(d *[4]uint8, c color.NRGBA, a uint32) {
	b := 255 - a
	d[0] = uint8(over255(uint32(d[0])*b + uint32(c.R)*a))
	d[1] = uint8(over255(uint32(d[1])*b + uint32(c.G)*a))
	d[2] = uint8(over255(uint32(d[2])*b + uint32(c.B)*a))
}

// over255 is v/255 rounded to the nearest whole number, for v up to 255².
func over255(v uint32) uint32 {
	v += 128
	return (v + v>>8) >> 8
}
