// Package fft transforms single-precision complex data whose length is a
// power of two, 8 to 2048. Real and imaginary parts are kept in arrays of
// their own.
//
// Forward computes X[k] = sum x[n] exp(-2 pi i n k/N) and leaves X[k] at place
// Place(k); Inverse takes them from there and computes the sum with the other
// sign. Neither scales, so that going there and back multiplies by N. Nothing is
// ever put in order: who multiplies two spectra does not need it.
package fft

import (
	"fmt"
	"math"
)

// Plan holds what transforms of one length need. It is read only once made
// and may be shared.
type Plan struct {
	n     int
	lead  int              // 1, 2 or 4: the blocks that the first pass makes, so that the rest are powers of 8
	first []float32        // see turns
	tw64  *[14][64]float32 // of blocks of 512: real and imaginary parts of seven twiddles
	tw8   *[14][8]float32  // of blocks of 64
	place []int32
}

// Limits of the length of a Plan.
const (
	Min = 8
	Max = 2048
)

// New makes a plan for length n.
func New(n int) *Plan {
	if n < Min || n > Max || n&(n-1) != 0 {
		panic(fmt.Sprintf("fft: length %d is not a power of two from %d to %d", n, Min, Max))
	}
	p := &Plan{n: n, lead: 1, tw64: new([14][64]float32), tw8: new([14][8]float32)}
	rest := n
	for ; rest != 8 && rest != 64 && rest != 512; rest /= 2 {
		p.lead *= 2
	}
	p.first = make([]float32, 6*n/p.lead)
	for k := range 3 {
		for i := range n / p.lead {
			p.turns(2 * k)[i], p.turns(2*k + 1)[i] = turn((k+1)*i, n)
		}
	}
	for k := range 7 {
		for i := range 64 {
			p.tw64[2*k][i], p.tw64[2*k+1][i] = turn((k+1)*i, 512)
		}
		for i := range 8 {
			p.tw8[2*k][i], p.tw8[2*k+1][i] = turn((k+1)*i, 64)
		}
	}
	p.place = make([]int32, n)
	for k := range p.place {
		p.place[k] = int32(placed(k, n, p.lead))
	}
	return p
}

// turn is exp(-2 pi i k/n).
func turn(k, n int) (re, im float32) {
	sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
	return float32(cos), float32(-sin)
}

// placed finds where frequency k of n ends up when the first pass makes so many
// blocks and every further one eight.
func placed(k, n, blocks int) (at int) {
	for n > 1 {
		n /= blocks
		at += k % blocks * n
		k /= blocks
		blocks = 8
	}
	return at
}

// Place is where Forward leaves frequency k, 0 <= k < N.
func (p *Plan) Place(k int) int { return int(p.place[k]) }

// Places is Place for all k.
func (p *Plan) Places() []int32 { return p.place }

// Forward transforms re + i im in place.
func (p *Plan) Forward(re, im []float32) {
	re, im = re[:p.n], im[:p.n]
	switch p.lead {
	case 2:
		p.split2(re, im)
	case 4:
		p.split4(re, im)
	}
	rest := p.n / p.lead
	if rest == 512 {
		for i := 0; i < p.n; i += 512 {
			p.split512(re[i:], im[i:])
		}
	}
	p.small(re, im, rest)
}

func (p *Plan) split512(re, im []float32) {
	if vectors {
		splits(&re[0], &im[0], &p.tw64[0][0], 64*4, 8*4, 8*4, 8)
		return
	}
	split64((*[512]float32)(re), (*[512]float32)(im), p.tw64)
}

// ForwardShort is Forward for data of which only the first quarter is not 0; the
// rest is not read.
func (p *Plan) ForwardShort(re, im []float32) {
	if p.n != 512 || vectors {
		clear(re[p.n/4 : p.n])
		clear(im[p.n/4 : p.n])
		p.Forward(re, im)
		return
	}
	split64short((*[512]float32)(re), (*[512]float32)(im), p.tw64)
	p.small(re[:512], im[:512], 512)
}

func (p *Plan) small(re, im []float32, rest int) {
	if vectors && rest >= 64 {
		splits(&re[0], &im[0], &p.tw8[0][0], 8*4, 64*4, 0, p.n/64)
		eights(&re[0], &im[0], p.n/64)
		return
	}
	if rest >= 64 {
		for i := 0; i < p.n; i += 64 {
			split8((*[64]float32)(re[i:]), (*[64]float32)(im[i:]), p.tw8)
		}
	}
	for i := 0; i < p.n; i += 8 {
		eight((*[8]float32)(re[i:]), (*[8]float32)(im[i:]))
	}
}

// Inverse transforms re + i im in place, without the factor 1/N. It is Forward
// the other way round; with real and imaginary parts exchanged the sign is the
// other one.
func (p *Plan) Inverse(im, re []float32) {
	re, im = re[:p.n], im[:p.n]
	rest := p.n / p.lead
	p.joinSmall(re, im, rest)
	if rest == 512 {
		for i := 0; i < p.n; i += 512 {
			p.join512(re[i:], im[i:])
		}
	}
	switch p.lead {
	case 2:
		p.join2(re, im)
	case 4:
		p.join4(re, im)
	}
}

func (p *Plan) joinSmall(re, im []float32, rest int) {
	if vectors && rest >= 64 {
		eights(&re[0], &im[0], p.n/64)
		joins(&re[0], &im[0], &p.tw8[0][0], 8*4, 64*4, 0, p.n/64)
		return
	}
	for i := 0; i < p.n; i += 8 {
		eight((*[8]float32)(re[i:]), (*[8]float32)(im[i:]))
	}
	if rest >= 64 {
		for i := 0; i < p.n; i += 64 {
			join8((*[64]float32)(re[i:]), (*[64]float32)(im[i:]), p.tw8)
		}
	}
}

func (p *Plan) join512(re, im []float32) {
	if vectors {
		joins(&re[0], &im[0], &p.tw64[0][0], 64*4, 8*4, 8*4, 8)
		return
	}
	join64((*[512]float32)(re), (*[512]float32)(im), p.tw64)
}
