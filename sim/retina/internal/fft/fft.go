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
	lead  int // 1, 2 or 4: the blocks that the first pass makes, so that the rest are powers of 8
	first [][6]float32
	tw64  *[64][14]float32 // of blocks of 512
	tw8   *[8][14]float32  // of blocks of 64
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
	p := &Plan{n: n, lead: 1, tw64: new([64][14]float32), tw8: new([8][14]float32)}
	rest := n
	for ; rest != 8 && rest != 64 && rest != 512; rest /= 2 {
		p.lead *= 2
	}
	p.first = make([][6]float32, n/p.lead)
	for i := range p.first {
		for k := range 3 {
			p.first[i][2*k], p.first[i][2*k+1] = turn((k+1)*i, n)
		}
	}
	for i := range p.tw64 {
		for k := range 7 {
			p.tw64[i][2*k], p.tw64[i][2*k+1] = turn((k+1)*i, 512)
		}
	}
	for i := range p.tw8 {
		for k := range 7 {
			p.tw8[i][2*k], p.tw8[i][2*k+1] = turn((k+1)*i, 64)
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
	for i := 0; i < p.n; i += 512 {
		if rest == 512 {
			split64((*[512]float32)(re[i:]), (*[512]float32)(im[i:]), p.tw64)
		}
	}
	p.small(re, im, rest)
}

// ForwardShort is Forward for data of which only the first quarter is not 0; the
// rest is not read.
func (p *Plan) ForwardShort(re, im []float32) {
	if p.n != 512 {
		clear(re[p.n/4 : p.n])
		clear(im[p.n/4 : p.n])
		p.Forward(re, im)
		return
	}
	split64short((*[512]float32)(re), (*[512]float32)(im), p.tw64)
	p.small(re[:512], im[:512], 512)
}

func (p *Plan) small(re, im []float32, rest int) {
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
	for i := 0; i < p.n; i += 8 {
		eight((*[8]float32)(re[i:]), (*[8]float32)(im[i:]))
	}
	rest := p.n / p.lead
	if rest >= 64 {
		for i := 0; i < p.n; i += 64 {
			join8((*[64]float32)(re[i:]), (*[64]float32)(im[i:]), p.tw8)
		}
	}
	if rest == 512 {
		for i := 0; i < p.n; i += 512 {
			join64((*[512]float32)(re[i:]), (*[512]float32)(im[i:]), p.tw64)
		}
	}
	switch p.lead {
	case 2:
		p.join2(re, im)
	case 4:
		p.join4(re, im)
	}
}
