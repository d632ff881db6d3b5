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
	n, f := g.N, &r.frame
	t := &Transfer{N: n, Step: 60 * g.step(), V: make([]complex64, n*(n/2+1)), clear: float32(1 - p.Veil)}
	r.begin(n)
	for down := range n/2 + 1 {
		re, im := r.transferRow(down)
		for k := -n / 2; k <= n/2; k++ {
			at := f.plan.Place(k & (n - 1))
			cos, sin := f.shift(k+down, r.spot.n)
			v := complex(t.clear*re[at], t.clear*im[at]) * complex(cos, sin)
			if k >= 0 {
				t.V[(n/2-down)*(n/2+1)+k] = v
			}
			if k <= 0 && down > 0 && down < n/2 {
				t.V[(n/2+down)*(n/2+1)-k] = complex(real(v), -imag(v))
			}
		}
	}
	t.V[n/2*(n/2+1)] = 1
	return t, nil
}

// At is the value at a frequency in cycles per degree, interpolated with
// cubics; 0 outside. Only at zero frequency itself does the veil count.
func (t *Transfer) At(fx, fy float64) complex128 {
	if fx == 0 && fy == 0 {
		return 1
	}
	x, y := fx/t.Step, fy/t.Step
	limit := float64(t.N/2 - 2)
	if math.Abs(x) > limit || math.Abs(y) > limit {
		return 0
	}
	i, j := int(math.Floor(x)), int(math.Floor(y))
	wx, wy := cubic(x-float64(i)), cubic(y-float64(j))
	var sum complex128
	for b := range wy {
		for a := range wx {
			sum += complex(wx[a]*wy[b], 0) * t.sample(i+a-1, j+b-1)
		}
	}
	return sum
}

// sample is the value at whole steps.
func (t *Transfer) sample(i, j int) complex128 {
	if i < 0 {
		v := t.sample(-i, -j)
		return complex(real(v), -imag(v))
	}
	if i == 0 && j == 0 {
		return complex(float64(t.clear), 0)
	}
	return complex128(t.V[(j+t.N/2)*(t.N/2+1)+i])
}

// cubic gives the weights of four samples at -1, 0, 1 and 2 for a place
// between 0 and 1: the polynomial through all four.
func cubic(x float64) [4]float64 {
	return [4]float64{
		-x * (x - 1) * (x - 2) / 6, (x + 1) * (x - 1) * (x - 2) / 2,
		-(x + 1) * x * (x - 2) / 2, (x + 1) * x * (x - 1) / 6,
	}
}
