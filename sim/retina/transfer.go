package retina

import (
	"math"

	"conoid/sim/retina/internal/fft"
)

// Transfer is the optical transfer function of an eye, all wavelengths of a
// light together, in the patient's view. It is 1 at frequency 0 and carries
// the factor 1 - Veil elsewhere.
type Transfer struct {
	Step  float64 // cycles per degree between samples
	Limit float64 // cycles per degree: nothing is known beyond, along x or y

	// v holds the half with fy >= 0, and one row more, row by row: rows -1 to
	// reach, columns -reach to reach. The other half is its conjugate.
	v     []complex64
	reach int
	clear float32 // 1 - Veil: the limit at frequency 0
}

// Finest is the finest detail, in cycles per degree, that a retina resolves.
const Finest = 60

// Transfer computes the transfer function for a pupil and a light up to the
// Finest detail, on finer steps when the blur is wide. Its samples are within
// 0.003 of the overlap of the pupil with itself, and so are places between them
// for blurs up to 60 minutes of arc wide. The result is the caller's.
func (r *Renderer) Transfer(p Pupil, l Light) (*Transfer, error) {
	return r.TransferTo(p, l, Finest)
}

// TransferTo is Transfer up to a limit in cycles per degree, for those who look
// at nothing finer.
func (r *Renderer) TransferTo(p Pupil, l Light, limit float64) (*Transfer, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	if r.Pause != nil {
		r.Pause()
	}
	if err := r.shine(p.seen(), l, use{limit, foldedInTransfer}); err != nil {
		return nil, err
	}
	g := r.grid
	if r.spot.n > g.N || r.spot.blur > g.width()/12 {
		g = g.padded()
	}
	t := &Transfer{Step: 60 * g.step(), clear: float32(1 - p.Veil)}
	t.Limit = min(limit, float64(g.N/2-2)*t.Step)
	t.reach = int(t.Limit/t.Step) + 2
	t.v = make([]complex64, (t.reach+2)*t.width())
	r.begin(g.N, t.reach+1)
	r.into = t
	r.each(t.reach/strip+1, r.doTransfer)
	r.into = nil
	below, above := t.row(-1), t.row(1)
	for k, v := range above {
		below[len(below)-1-k] = complex(real(v), -imag(v))
	}
	t.row(0)[t.reach] = complex(t.clear, 0)
	return t, nil
}

func (t *Transfer) width() int { return 2*t.reach + 1 }

// row holds the samples of one vertical frequency, from -1 step on.
func (t *Transfer) row(j int) []complex64 { return t.v[(j+1)*t.width():][:t.width()] }

// transferStrip puts a strip of rows, from frequency 0 down, where they belong in
// a transfer function: their conjugates are those from 0 up.
func (r *Renderer) transferStrip(_ *mate, item int) {
	f, t := &r.frame, r.into
	places := f.plan.Places()
	for down := item * strip; down < min((item+1)*strip, t.reach+1); down++ {
		re, im := r.transferRow(down)
		row := t.row(down)
		left, right := row[:t.reach+1], row[t.reach+1:]
		r.unshift(right, re, im, places[f.n-t.reach:], down-t.reach)
		r.unshift(left, re, im, places, down)
	}
}

// unshift takes values of frequencies one after another from their places, in
// a row whose spot is not at its first sample (the first frequency and the row's
// add up to k), and puts their conjugates to the other end, last first.
func (r *Renderer) unshift(to []complex64, re, im []float32, places []int32, k int) {
	f, t := &r.frame, r.into
	// The shift is half the spot, a power of two: its phases repeat soon.
	var phase [2 * fft.Max / 32][2]float32
	turns := 2 * f.n / r.spot.n
	for i := range turns {
		cos, sin := f.shift(k+i, r.spot.n)
		phase[i] = [2]float32{t.clear * cos, t.clear * sin}
	}
	im, places = im[:len(re)], places[:len(to)]
	for i, from := range places {
		p := &phase[i&(turns-1)&(len(phase)-1)]
		a, b := re[from], im[from]
		to[len(places)-1-i] = complex(a*p[0]-b*p[1], -a*p[1]-b*p[0])
	}
}

// At is the value at a frequency in cycles per degree, interpolated with
// cubics; 0 outside. Only at zero frequency itself does the veil count.
func (t *Transfer) At(fx, fy float64) complex128 {
	if fx == 0 && fy == 0 {
		return 1
	}
	if fy < 0 {
		v := t.At(-fx, -fy)
		return complex(real(v), -imag(v))
	}
	if math.Abs(fx) > t.Limit || fy > t.Limit {
		return 0
	}
	return complex128(t.between(fx/t.Step, fy/t.Step))
}

// Ray reads the function along the normal of bars that run at an angle, degrees
// in the patient's view: at step, twice that, and so on, in cycles per degree,
// as At does.
func (t *Transfer) Ray(angle, step float64, to []complex64) {
	sin, cos := math.Sincos((angle + 90) * math.Pi / 180)
	conjugate := sin < 0
	if conjugate {
		sin, cos = -sin, -cos
	}
	dx, dy := step*cos/t.Step, step*sin/t.Step
	within := int(t.Limit / t.Step / max(math.Abs(dx), dy))
	if within < len(to) {
		clear(to[within:])
		to = to[:within]
	}
	for k := range to {
		to[k] = t.between(float64(k+1)*dx, float64(k+1)*dy)
	}
	if conjugate {
		for k, v := range to {
			to[k] = complex(real(v), -imag(v))
		}
	}
}

// between interpolates at a place within the limit, in steps, y >= 0.
func (t *Transfer) between(x, y float64) complex64 {
	x += float64(t.reach)
	i, j := int(x), int(y)
	w0, w1, w2, w3 := cubic(float32(x - float64(i)))
	v0, v1, v2, v3 := cubic(float32(y - float64(j)))
	n := t.width()
	v := t.v[j*n+i-1:]
	a, b, c, d := (*[4]complex64)(v), (*[4]complex64)(v[n:]), (*[4]complex64)(v[2*n:]), (*[4]complex64)(v[3*n:])
	re := w0*(v0*real(a[0])+v1*real(b[0])+v2*real(c[0])+v3*real(d[0])) +
		w1*(v0*real(a[1])+v1*real(b[1])+v2*real(c[1])+v3*real(d[1])) +
		w2*(v0*real(a[2])+v1*real(b[2])+v2*real(c[2])+v3*real(d[2])) +
		w3*(v0*real(a[3])+v1*real(b[3])+v2*real(c[3])+v3*real(d[3]))
	im := w0*(v0*imag(a[0])+v1*imag(b[0])+v2*imag(c[0])+v3*imag(d[0])) +
		w1*(v0*imag(a[1])+v1*imag(b[1])+v2*imag(c[1])+v3*imag(d[1])) +
		w2*(v0*imag(a[2])+v1*imag(b[2])+v2*imag(c[2])+v3*imag(d[2])) +
		w3*(v0*imag(a[3])+v1*imag(b[3])+v2*imag(c[3])+v3*imag(d[3]))
	return complex(re, im)
}

// Squares gives the squared modulus at frequencies (k step, fy), k being from and
// the next ones, in cycles per degree; fy >= 0, and all are within the limit.
// The values are those of At, but at frequency 0, where it is the limit.
func (t *Transfer) Squares(fy, step float64, from int, to []float32) {
	if len(to) == 0 {
		return
	}
	y, dx := fy/t.Step, step/t.Step
	x := float64(from) * dx
	first := int(x + float64(t.reach)) // of the samples needed, less one
	last := int(x + float64(len(to)-1)*dx + float64(t.reach))
	var mixed [384]complex64
	n := last - first + 4
	if n > 3*len(to) || n > len(mixed) {
		for k := range to {
			v := t.between(x+float64(k)*dx, y)
			to[k] = real(v)*real(v) + imag(v)*imag(v)
		}
		return
	}
	// Many places between few samples: down first, then across.
	j := int(y)
	w0, w1, w2, w3 := cubic(float32(y - float64(j)))
	at := j*t.width() + first - 1
	a, b, c, d := t.v[at:][:n], t.v[at+t.width():][:n], t.v[at+2*t.width():][:n], t.v[at+3*t.width():][:n]
	m := mixed[:n]
	for k := range m {
		m[k] = complex(
			w0*real(a[k])+w1*real(b[k])+w2*real(c[k])+w3*real(d[k]),
			w0*imag(a[k])+w1*imag(b[k])+w2*imag(c[k])+w3*imag(d[k]))
	}
	x += float64(t.reach - first)
	for k := range to {
		u := x + float64(k)*dx
		i := int(u)
		w0, w1, w2, w3 := cubic(float32(u - float64(i)))
		c := (*[4]complex64)(m[i:])
		re := w0*real(c[0]) + w1*real(c[1]) + w2*real(c[2]) + w3*real(c[3])
		im := w0*imag(c[0]) + w1*imag(c[1]) + w2*imag(c[2]) + w3*imag(c[3])
		to[k] = re*re + im*im
	}
}

// cubic gives the weights of four samples at -1, 0, 1 and 2 for a place
// between 0 and 1: the polynomial through all four.
func cubic(x float32) (before, at, next, after float32) {
	inner, outer := x*(x-1), (x+1)*(x-2) // of the samples beside the place, and of those beyond
	return inner * (2 - x) * (1.0 / 6), outer * (x - 1) * 0.5, outer * x * -0.5, inner * (x + 1) * (1.0 / 6)
}
