package retina

import (
	"math"

	"conoid/sim/retina/internal/fft"
)

// frame is what turns a spot into a transfer function, and that and the
// spectrum of a chart into an image, on n x n samples:
//
//	columns  each column of the spot is transformed, two at a time
//	rows     each row of that is transformed, multiplied with the chart's row
//	         and transformed back
//	image    each column of that is transformed back, two at a time
//
// Only rows of frequencies from 0 down to the highest are kept; the others are
// their conjugates. The spot's middle is not at its first sample, so that
// everything comes out shifted by half the spot; see shift.
type frame struct {
	n      int
	pitch  int // from row to row: not a power of two, which a cache handles badly
	plan   *fft.Plan
	re, im []float32 // n/2+1 rows of n
	drawn  *spectrum // by which the rows are multiplied
	rows   int       // that count, from frequency 0 on
	tails  []*tail   // corrections at frequency 0, and their
	share  []float32 // strengths
	turn   []float32 // cosine and sine of 2 pi k/n
	out    *Image
	gain   float32
	offset float32
}

// row is the row of one vertical frequency.
func (f *frame) row(j int) (re, im []float32) {
	return f.re[j*f.pitch:][:f.n:f.n], f.im[j*f.pitch:][:f.n:f.n]
}

// begin readies the frame for n samples and so many rows, and transforms the
// columns of the spot.
func (r *Renderer) begin(n, rows int) {
	f := &r.frame
	f.rows = rows
	if f.n != n {
		f.n, f.pitch, f.plan = n, n+strip, r.plan(n)
		f.re, f.im = sized(f.re, f.pitch*(n/2+1)), sized(f.im, f.pitch*(n/2+1))
		f.turn = turns(f.turn[:0], n)
	}
	f.tails, f.share = f.tails[:0], f.share[:0]
	for k, strength := range r.spot.tails {
		if strength > 0 {
			f.tails, f.share = append(f.tails, r.tail(1<<k, n)), append(f.share, float32(strength))
		}
	}
	r.each(r.spot.n/strip, r.doColumns)
}

// columns transforms a strip of the spot's columns.
func (r *Renderer) columns(m *mate, item int) {
	f, s := &r.frame, &r.spot
	m.re, m.im = sized(m.re, strip/2*f.pitch), sized(m.im, strip/2*f.pitch)
	first := item * strip
	for c := range strip / 2 {
		re, im := m.re[c*f.pitch:][:f.n], m.im[c*f.pitch:][:f.n]
		copy(re, s.v[(first+2*c)*s.n:][:s.n])
		copy(im, s.v[(first+2*c+1)*s.n:][:s.n])
		f.transform(re, im, s.n)
	}
	places := f.plan.Places()
	for j := range f.rows {
		a, b := int(places[j]), int(places[-j&(f.n-1)])
		re, im := (*[strip]float32)(f.re[j*f.pitch+first:]), (*[strip]float32)(f.im[j*f.pitch+first:])
		for c := range strip / 2 {
			k := c * f.pitch
			x, y, u, v := m.re[k+a]/2, m.im[k+a]/2, m.re[k+b]/2, m.im[k+b]/2
			re[2*c], im[2*c] = x+u, y-v
			re[2*c+1], im[2*c+1] = y+v, u-x
		}
	}
}

// transform works on a line of which only the first so many values are given.
func (f *frame) transform(re, im []float32, given int) {
	if given <= f.n/4 {
		clear(re[given : f.n/4])
		clear(im[given : f.n/4])
		f.plan.ForwardShort(re, im)
		return
	}
	clear(re[given:])
	clear(im[given:])
	f.plan.Forward(re, im)
}

// transferRow completes the transfer function in row j, frequency k at Place(k),
// shifted as the spot is.
func (r *Renderer) transferRow(j int) (re, im []float32) {
	f := &r.frame
	re, im = f.row(j)
	f.transform(re, im, r.spot.n)
	for t, c := range f.tails {
		if j > c.reach {
			continue
		}
		for i := -c.reach; i <= c.reach; i++ {
			at := f.plan.Place(i & (f.n - 1))
			cos, sin := f.shift(i+j, r.spot.n)
			e := f.share[t] * c.at(i, j)
			re[at] += e * cos
			im[at] -= e * sin
		}
	}
	return re, im
}

// shift is cosine and sine of the phase by which a shift of half a spot sets a
// frequency back, k being the sum of its horizontal and vertical parts.
func (f *frame) shift(k, spot int) (cos, sin float32) {
	at := k * spot / 2 & (f.n - 1)
	return f.turn[2*at], f.turn[2*at+1]
}

func turns(to []float32, n int) []float32 {
	for k := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		to = append(to, float32(cos), float32(sin))
	}
	return to
}

// rows multiplies a strip of rows with the chart, or with a point where there is
// none.
func (r *Renderer) rows(_ *mate, item int) {
	f := &r.frame
	for j := item * strip; j < min((item+1)*strip, f.rows); j++ {
		re, im := r.transferRow(j)
		if f.drawn == nil {
			limit := f.plan.Place(f.n / 2)
			re[limit], im[limit] = 0, 0
			f.plan.Inverse(re, im)
			continue
		}
		a, b := f.drawn.row(j)
		im, a, b = im[:len(re)], a[:len(re)], b[:len(re)]
		for k, x := range re {
			y, c, d := im[k], a[k], b[k]
			re[k], im[k] = x*c-y*d, x*d+y*c
		}
		f.plan.Inverse(re, im)
	}
}

// imageStrip brings a strip of columns into the image.
func (r *Renderer) imageStrip(m *mate, item int) {
	f, out := &r.frame, r.frame.out
	m.re, m.im = sized(m.re, strip/2*f.pitch), sized(m.im, strip/2*f.pitch)
	column := item * strip
	from := f.from(column, out.N, r.spot.n)
	places := f.plan.Places()
	clear(m.re)
	clear(m.im)
	for j := range f.rows {
		a, b := int(places[j]), int(places[-j&(f.n-1)])
		re, im := (*[strip]float32)(f.re[j*f.pitch+from:]), (*[strip]float32)(f.im[j*f.pitch+from:])
		for c := range strip / 2 {
			k := c * f.pitch
			x, y, u, v := re[2*c], im[2*c], re[2*c+1], im[2*c+1]
			m.re[k+b], m.im[k+b] = x+v, u-y
			m.re[k+a], m.im[k+a] = x-v, y+u
		}
	}
	for c := range strip / 2 {
		re, im := m.re[c*f.pitch:][:f.n], m.im[c*f.pitch:][:f.n]
		f.plan.Inverse(re, im)
	}
	for j := range out.N {
		y := f.from(j, out.N, r.spot.n)
		row := (*[strip]float32)(out.Y[j*out.N+column:])
		for c := range strip / 2 {
			row[2*c] = f.gain*m.re[c*f.pitch+y] + f.offset
			row[2*c+1] = f.gain*m.im[c*f.pitch+y] + f.offset
		}
	}
}

// from is the sample of the frame that becomes row or column i of the image.
func (f *frame) from(i, image, spot int) int { return (i - image/2 + spot/2) & (f.n - 1) }
