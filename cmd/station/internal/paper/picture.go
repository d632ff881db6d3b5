package paper

import (
	"encoding/binary"
	"image"
	"math"
)

// axis says how the pixels of a picture are mixed along one direction. When it grows, the pixel i of
// the result lies between two source pixels (see pair). When it shrinks, it is the sum of the source
// pixels from first[i] on times the weights taps[at[i]:at[i+1]], which sum to 256.
type axis struct {
	pairs     []pair
	first, at []int32
	taps      []uint32
}

// pair stands for the source pixel k times 256-part plus the next one times part, over 256.
type pair struct{ k, part int32 }

// makeAxis stretches n source pixels over m: linear interpolation when they grow, the mean over the
// area of the new pixel when they shrink.
func makeAxis(n, m int) *axis {
	a := &axis{at: []int32{0}}
	ratio := float64(n) / float64(m)
	for i := range m {
		if n <= m {
			a.between((float64(i)+0.5)*ratio-0.5, n)
		} else {
			a.mean(float64(i)*ratio, float64(i+1)*ratio, n)
		}
	}
	return a
}

// between adds a place between two of n source pixels; 0 is the centre of the first.
func (a *axis) between(x float64, n int) {
	x = min(max(x, 0), float64(n-1))
	k := min(int(x), max(n-2, 0))
	a.pairs = append(a.pairs, pair{int32(k), int32(math.Round((x - float64(k)) * 256))})
}

// mean adds the weights for the mean over [from, to) of n source pixels; 0 is the edge of the first.
func (a *axis) mean(from, to float64, n int) {
	k, end := int(from), min(int(math.Ceil(to-1e-9)), n)
	a.first = append(a.first, int32(k))
	for done := 0; k < end; k++ { // rounding what is done, not each weight, keeps the sum
		upTo := int(math.Round((min(float64(k+1), to) - from) / (to - from) * 256))
		if k == end-1 {
			upTo = 256
		}
		a.taps = append(a.taps, uint32(upTo-done))
		done = upTo
	}
	a.at = append(a.at, int32(len(a.taps)))
}

// needs is the range of source pixels, of n, that the pixels [from, end) of the result are made of.
func (a *axis) needs(from, end, n int) (left, right int) {
	if a.pairs != nil {
		return int(a.pairs[from].k), min(int(a.pairs[end-1].k)+2, n)
	}
	return int(a.first[from]), int(a.first[end-1] + a.at[end] - a.at[end-1])
}

// lanes holds the red, blue and green of a pixel, from below, in lanes of 16 bits, so that one
// multiplication weighs all three.
type lanes = uint64

const laneLow, laneHalf lanes = 0x00ff_00ff_00ff, 0x0080_0080_0080

// spread puts a pixel (red in the lowest byte) into lanes.
func spread(pixel uint32) lanes { return lanes(pixel&0xff00ff) | lanes(pixel&0xff00)<<24 }

// gather makes an opaque pixel of lanes that hold 256 times the colour.
func gather(sum lanes) uint32 {
	v := (sum + laneHalf) >> 8 & laneLow
	return uint32(v) | uint32(v>>24) | 0xff000000
}

// scaler paints scaled pictures. Its buffers are reused.
type scaler struct {
	axes  map[image.Point]*axis // by source and result size
	rows  [2][]lanes            // two source rows, one of even and one of odd number
	held  [2]int                // which rows they are
	mixed []lanes               // a row mixed from source rows
}

func (z *scaler) axis(n, m int) *axis {
	key := image.Pt(n, m)
	a := z.axes[key]
	if a == nil {
		if z.axes == nil || len(z.axes) > 16 {
			z.axes = map[image.Point]*axis{}
		}
		a = makeAxis(n, m)
		z.axes[key] = a
	}
	return a
}

// paint scales a picture to fill the rectangle to and paints the part of it in clip, which lies in
// the image and in to.
func (z *scaler) paint(dst *image.RGBA, to image.Rectangle, src *picture, clip image.Rectangle) {
	if to.Size() == src.size {
		same(dst, to, src, clip)
		return
	}
	across, down := z.axis(src.size.X, to.Dx()), z.axis(src.size.Y, to.Dy())
	from, end := clip.Min.X-to.Min.X, clip.Max.X-to.Min.X
	left, right := across.needs(from, end, src.size.X)
	z.held = [2]int{-1, -1}
	for y := clip.Min.Y; y < clip.Max.Y; y++ {
		out := dst.Pix[dst.PixOffset(clip.Min.X, y):][:4*clip.Dx()]
		row := z.mixRows(src, down, y-to.Min.Y, left, right)
		if across.pairs != nil {
			mixPairs(out, row, left, across.pairs[from:end])
		} else {
			across.mixTaps(out, row, left, from)
		}
	}
}

// same paints a picture at its own size.
func same(dst *image.RGBA, to image.Rectangle, src *picture, clip image.Rectangle) {
	for y := clip.Min.Y; y < clip.Max.Y; y++ {
		out := dst.Pix[dst.PixOffset(clip.Min.X, y):][:4*clip.Dx()]
		in := src.pix[(y-to.Min.Y)*src.stride+4*(clip.Min.X-to.Min.X):][:len(out)]
		for ; len(out) >= 4 && len(in) >= 4; out, in = out[4:], in[4:] {
			binary.LittleEndian.PutUint32(out, binary.LittleEndian.Uint32(in)|0xff000000)
		}
	}
}

// mixRows is the row i of the result before it is mixed along, for the source columns from left to
// right, and one more that counts for nothing.
func (z *scaler) mixRows(src *picture, down *axis, i, left, right int) []lanes {
	n := right - left + 1
	if cap(z.mixed) < n {
		z.mixed = make([]lanes, n)
	}
	mixed := z.mixed[:n]
	if down.pairs != nil {
		k, part := int(down.pairs[i].k), lanes(down.pairs[i].part)
		p := z.row(src, k, left, right)[:n]
		q := z.row(src, min(k+1, src.size.Y-1), left, right)[:n]
		for i := range mixed {
			mixed[i] = (p[i]<<8 + (q[i]-p[i])*part + laneHalf) >> 8 & laneLow
		}
		return mixed
	}
	clear(mixed)
	for k, w := range down.taps[down.at[i]:down.at[i+1]] {
		row := z.row(src, int(down.first[i])+k, left, right)[:n]
		for i := range mixed {
			mixed[i] += row[i] * lanes(w)
		}
	}
	for i, v := range mixed {
		mixed[i] = (v + laneHalf) >> 8 & laneLow
	}
	return mixed
}

// row is a source row between two columns, and one pixel more.
func (z *scaler) row(src *picture, y, left, right int) []lanes {
	slot := y & 1
	if z.held[slot] == y {
		return z.rows[slot]
	}
	n := right - left
	if cap(z.rows[slot]) < n+1 {
		z.rows[slot] = make([]lanes, n+1)
	}
	z.held[slot], z.rows[slot] = y, z.rows[slot][:n+1]
	pix, row := src.pix[y*src.stride+4*left:y*src.stride+4*right], z.rows[slot]
	for i := 0; len(pix) >= 4 && i < len(row); i, pix = i+1, pix[4:] {
		row[i] = spread(binary.LittleEndian.Uint32(pix))
	}
	return row
}

// mixPairs writes a pixel for each pair. row starts at the source column left.
func mixPairs(out []uint8, row []lanes, left int, pairs []pair) {
	for _, t := range pairs {
		k := int(t.k) - left
		p, q := row[k], row[k+1]
		binary.LittleEndian.PutUint32(out, gather(p<<8+(q-p)*lanes(t.part)))
		out = out[4:]
	}
}

// mixTaps writes a pixel for each index from the index from on. row starts at the source column left.
func (a *axis) mixTaps(out []uint8, row []lanes, left, from int) {
	at := int(a.at[from])
	for i := from; len(out) >= 4; i++ {
		end, sum := int(a.at[i+1]), lanes(0)
		taps := a.taps[at:end]
		part := row[int(a.first[i])-left:][:len(taps)]
		for j, w := range taps {
			sum += part[j] * lanes(w)
		}
		binary.LittleEndian.PutUint32(out, gather(sum))
		out, at = out[4:], end
	}
}
