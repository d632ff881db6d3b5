package retina

import (
	"math"

	"conoid/sim/retina/internal/fft"
)

// wave is the pupil function in light of one wavelength, sampled so that its
// transform is the amplitude on n x n samples of the point spread.
type wave struct {
	view
	plan *fft.Plan
	h    float64   // millimetres between samples
	n    int       // samples across the pupil; more than the transform's when it must be folded in
	um   float64   // wavelength, micrometres
	flat bool      // whether the wavefront is of second order
	xs   []float64 // place of each column, millimetres; rows, from the top, stand at -xs
	gx   []float64 // Stiles-Crawford amplitude of each column
	in2  []float64 // its square summed up before each column
}

// prepare readies a pupil for samples pitch minutes of arc apart.
func (w *wave) prepare(v view, plan *fft.Plan, size int, nm, pitch float64) {
	w.view, w.plan, w.um = v.in(nm), plan, nm/1000
	w.h = nm * 1e-6 / (float64(size) * pitch / (60 * perRadian))
	w.n = int(math.Ceil(2 * v.radius / w.h))
	w.flat = w.w.order() <= 2
	w.xs, w.gx, w.in2 = w.xs[:0], w.gx[:0], append(w.in2[:0], 0)
	for i := range w.n {
		x := (float64(i) - float64(w.n-1)/2) * w.h
		g := 1.0
		if w.rho > 0 {
			g = math.Exp(-w.decay() / 2 * (x - w.x0) * (x - w.x0))
		}
		w.xs, w.gx, w.in2 = append(w.xs, x), append(w.gx, g), append(w.in2, w.in2[i]+g*g)
	}
}

// fill puts row j into re and im, which are 0, and returns the light that
// enters the pupil there, and how much of it the softened edge loses: a cell at
// the edge passes the covered share of its light, but the amplitude, which that
// share multiplies, carries only the square.
func (w *wave) fill(re, im []float32, j int) (light, lost float64) {
	y := -w.xs[j]
	far, near := math.Abs(y)+w.h/2, max(0, math.Abs(y)-w.h/2)
	inner := w.columns(w.radius*w.radius-far*far, -w.h/2)
	outer := w.columns(w.radius*w.radius-near*near, w.h/2)
	inner.from, inner.to = max(inner.from, outer.from), min(inner.to, outer.to)
	if inner.to < inner.from {
		inner = span{outer.to, outer.to}
	}
	gy := 1.0
	if w.rho > 0 {
		gy = math.Exp(-w.decay() / 2 * (y - w.y0) * (y - w.y0))
	}
	w.phasors(re, im, y, outer, gy)
	light = (w.in2[inner.to] - w.in2[inner.from]) * gy * gy
	for i := outer.from; i < outer.to; i++ {
		if i == inner.from && inner.to > inner.from {
			i = inner.to - 1
			continue
		}
		a := covered(w.xs[i], y, w.radius, w.h)
		re[i] *= float32(a)
		im[i] *= float32(a)
		g := w.gx[i] * gy
		light += a * g * g
		lost += (a - a*a) * g * g
	}
	return light, lost
}

type span struct{ from, to int }

// columns are those whose middle is less than sqrt(square) + beyond from 0.
func (w *wave) columns(square, beyond float64) span {
	if square <= 0 {
		return span{w.n, 0}
	}
	c := (math.Sqrt(square) + beyond) / w.h
	middle := float64(w.n-1) / 2
	return span{max(0, int(math.Ceil(middle-c))), min(w.n, int(math.Floor(middle+c))+1)}
}

// phasors fills columns of the row at y with amplitude and phase.
func (w *wave) phasors(re, im []float32, y float64, s span, gy float64) {
	xs, gx := w.xs[s.from:s.to], w.gx[s.from:s.to]
	re, im = re[s.from:s.to][:len(xs)], im[s.from:s.to][:len(xs)]
	var c [terms]float64
	if w.flat {
		q := &w.w
		c = [terms]float64{q[0][0] + (q[0][1]+q[0][2]*y)*y, q[1][0] + q[1][1]*y, q[2][0]}
	} else {
		c = w.w.row(y)
	}
	for i := range c {
		c[i] *= phases / w.um
	}
	// Whole turns do not matter; they keep the number above 0, where cutting it
	// off rounds it down.
	c[0] += 1 << 20 * phases
	for i, x := range xs {
		t := (c[2]*x+c[1])*x + c[0]
		if !w.flat {
			t += (((c[6]*x+c[5])*x+c[4])*x + c[3]) * x * x * x
		}
		k := int64(t)
		d := (t - float64(k) - 0.5) * (2 * math.Pi / phases)
		p := &phasor[k&(phases-1)]
		a := gx[i] * gy
		re[i] = float32(a * (p[0] - p[1]*d))
		im[i] = float32(a * (p[1] + p[0]*d))
	}
}

// phasor holds cosine and sine in the middle of each of so many parts of a
// turn. With the slope they serve for all the part, within 1.2e-6.
var phasor = func() (out [phases][2]float64) {
	for k := range out {
		sin, cos := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / phases)
		out[k] = [2]float64{cos, sin}
	}
	return out
}()

const phases = 2048

// covered is the share of a square cell of side h about (x, y) that lies
// within a circle about the origin, whose edge is taken as straight there.
func covered(x, y, radius, h float64) float64 {
	d := math.Sqrt(x*x + y*y)
	inside := (radius - d) / h // from the edge, in cells
	switch {
	case inside >= math.Sqrt2/2 || d == 0:
		return 1
	case inside <= -math.Sqrt2/2:
		return 0
	}
	a, b := math.Abs(x/d), math.Abs(y/d)
	if a < b {
		a, b = b, a
	}
	corner := (a+b)/2 - math.Abs(inside) // how far the edge is from the outermost corner
	var small float64                    // the smaller part of the cell
	switch {
	case corner <= 0:
		small = 0
	case math.Abs(inside) <= (a-b)/2:
		small = 0.5 - math.Abs(inside)/a
	default:
		small = corner * corner / (2 * a * b)
	}
	if inside > 0 {
		return 1 - small
	}
	return small
}

// intensity computes the light of a point, scaled so that its sum is 1, into
// a square of which row Place(kx), column Place(ky) holds the place kx to the
// right of the middle and ky below it. It returns the share that the softened
// edge loses and that is missing from the sum.
func (w *wave) intensity(m *mate, power []float32, size int) (missing float64) {
	m.re, m.im = sized(m.re, strip*size), sized(m.im, strip*size)
	m.tre, m.tim = sized(m.tre, size*size), sized(m.tim, size*size)
	if w.n < size {
		clear(m.tre)
		clear(m.tim)
	}
	var light, lost float64
	for j0 := 0; j0 < w.n; j0 += strip {
		rows := min(strip, w.n-j0)
		for j := range rows {
			a, b := w.transformRow(m, j, j0+j, size)
			light, lost = light+a, lost+b
		}
		w.carry(m, j0, rows, size)
	}
	scale := float32(1 / (light * float64(size*size)))
	var sum float64
	for i := range size {
		re, im := m.tre[i*size:][:size], m.tim[i*size:][:size]
		w.plan.Forward(re, im)
		out := power[i*size:][:size]
		for k, x := range re {
			out[k] = scale * (x*x + im[k]*im[k])
		}
	}
	if w.n <= size {
		return lost / light // by Parseval's theorem
	}
	for _, v := range power[:size*size] {
		sum += float64(v)
	}
	return 1 - sum
}

// transformRow fills row j of the pupil, folds it in if need be, and transforms
// it where the mate keeps row "at" of a strip.
func (w *wave) transformRow(m *mate, at, j, size int) (light, lost float64) {
	re, im := m.re[at*size:][:size], m.im[at*size:][:size]
	clear(re)
	clear(im)
	if w.n <= size {
		light, lost = w.fill(re, im, j)
	} else {
		m.wide = sized(m.wide, 2*w.n)
		clear(m.wide)
		a, b := m.wide[:w.n], m.wide[w.n:]
		light, lost = w.fill(a, b, j)
		for i := range a {
			re[i&(size-1)] += a[i]
			im[i&(size-1)] += b[i]
		}
	}
	w.plan.Forward(re, im)
	return light, lost
}

// carry brings a strip of transformed rows into the columns of the square.
func (w *wave) carry(m *mate, j0, rows, size int) {
	at := j0 & (size - 1)
	fold := j0 >= size
	for i := range size {
		re, im := m.tre[i*size+at:][:rows], m.tim[i*size+at:][:rows]
		if !fold {
			for j := range re {
				re[j], im[j] = m.re[j*size+i], m.im[j*size+i]
			}
			continue
		}
		for j := range re {
			re[j] += m.re[j*size+i]
			im[j] += m.im[j*size+i]
		}
	}
}
