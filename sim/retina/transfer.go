package retina

import "math"

// Transfer is the optical transfer function of an eye, all wavelengths of a
// light together, in the patient's view. It is 1 at frequency 0 and carries
// the factor 1 - Veil elsewhere.
//
// V holds the half with fx >= 0: V[j*(N/2+1) + i] is the value at fx = i Step,
// fy = (j - N/2) Step; the other half is its conjugate, At(-fx, -fy) being
// the conjugate of At(fx, fy).
type Transfer struct {
	N    int
	Step float64 // cycles per degree between samples
	V    []complex64

	clear float32 // 1 - Veil: the limit at frequency 0
}

// Transfer computes the transfer function for a pupil and a light, on finer
// steps when the blur is wide. Samples up to 60 cycles per degree are within
// 0.003 of Section, and so are places between them for blurs up to 60 minutes of
// arc wide. The result is the caller's.
func (r *Renderer) Transfer(p Pupil, l Light) (*Transfer, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	if err := r.shine(p.seen(), l); err != nil {
		return nil, err
	}
	g := r.grid
	if r.spot.n > g.N || r.spot.blur > g.width()/12 {
		g = g.padded()
	}
	n := g.N
	t := &Transfer{N: n, Step: 60 * g.step(), V: make([]complex64, n*(n/2+1)), clear: float32(1 - p.Veil)}
	r.begin(n)
	r.into = t
	r.crew.each(n/2/strip+1, r.doTransfer)
	r.into = nil
	t.V[n/2*(n/2+1)] = 1
	return t, nil
}

// transferStrip puts a strip of rows where they belong in a transfer function.
func (r *Renderer) transferStrip(_ *mate, item int) {
	f, t, last := &r.frame, r.into, r.frame.n/2
	places := f.plan.Places()
	// value is the one of frequency k in row down.
	value := func(re, im []float32, k, down int) (x, y float32) {
		at := places[k&(f.n-1)]
		cos, sin := f.shift(k+down, r.spot.n)
		a, b := t.clear*re[at], t.clear*im[at]
		return a*cos - b*sin, a*sin + b*cos
	}
	for down := item * strip; down < min((item+1)*strip, last+1); down++ {
		re, im := r.transferRow(down)
		up := t.V[(last-down)*(last+1):][:last+1]
		for k := range up {
			x, y := value(re, im, k, down)
			up[k] = complex(x, y)
		}
		if down == 0 || down == last {
			continue
		}
		below := t.V[(last+down)*(last+1):][:last+1]
		for k := range below {
			x, y := value(re, im, -k, down)
			below[k] = complex(x, -y)
		}
	}
}

// At is the value at a frequency in cycles per degree, interpolated with
// cubics; 0 outside. Only at zero frequency itself does the veil count.
func (t *Transfer) At(fx, fy float64) complex128 {
	if fx == 0 && fy == 0 {
		return 1
	}
	if fx < 0 {
		v := t.At(-fx, -fy)
		return complex(real(v), -imag(v))
	}
	x, y := fx/t.Step, fy/t.Step
	limit := float64(t.N/2 - 2)
	if x > limit || math.Abs(y) > limit {
		return 0
	}
	i, j := int(x), int(math.Floor(y))
	wx, wy := cubic(x-float64(i)), cubic(y-float64(j))
	var re, im float64
	for b, w := range wy {
		var c [4]complex64
		if i > 1 {
			c = [4]complex64(t.V[(j+b-1+t.N/2)*(t.N/2+1)+i-1:])
		} else {
			for a := range c {
				c[a] = t.sample(i+a-1, j+b-1)
			}
		}
		re += w * (wx[0]*float64(real(c[0])) + wx[1]*float64(real(c[1])) + wx[2]*float64(real(c[2])) + wx[3]*float64(real(c[3])))
		im += w * (wx[0]*float64(imag(c[0])) + wx[1]*float64(imag(c[1])) + wx[2]*float64(imag(c[2])) + wx[3]*float64(imag(c[3])))
	}
	return complex(re, im)
}

// sample is the value at whole steps.
func (t *Transfer) sample(i, j int) complex64 {
	if i < 0 {
		v := t.sample(-i, -j)
		return complex(real(v), -imag(v))
	}
	if i == 0 && j == 0 {
		return complex(t.clear, 0)
	}
	return t.V[(j+t.N/2)*(t.N/2+1)+i]
}

// cubic gives the weights of four samples at -1, 0, 1 and 2 for a place
// between 0 and 1: the polynomial through all four.
func cubic(x float64) [4]float64 {
	return [4]float64{
		-x * (x - 1) * (x - 2) / 6, (x + 1) * (x - 1) * (x - 2) / 2,
		-(x + 1) * x * (x - 2) / 2, (x + 1) * x * (x - 1) / 6,
	}
}
