package fft

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/dsp/fourier"
)

// tolerance is relative to the largest value: single precision carries 6e-8,
// and the error grows with the logarithm of the length.
const tolerance = 2e-6

func noise(n int) (re, im []float32, z []complex128) {
	r := rand.New(rand.NewPCG(uint64(n), 7))
	re, im, z = make([]float32, n), make([]float32, n), make([]complex128, n)
	for i := range z {
		re[i], im[i] = float32(r.NormFloat64()), float32(r.NormFloat64())
		z[i] = complex(float64(re[i]), float64(im[i]))
	}
	return re, im, z
}

func requireClose(t *testing.T, want []complex128, re, im []float32) {
	t.Helper()
	var top, worst float64
	for i, w := range want {
		top = max(top, cmplx.Abs(w))
		worst = max(worst, cmplx.Abs(w-complex(float64(re[i]), float64(im[i]))))
	}
	require.LessOrEqual(t, worst, tolerance*top, "length %d", len(want))
}

// The definition, summed term by term.
func direct(z []complex128, sign float64) []complex128 {
	n := len(z)
	out := make([]complex128, n)
	for k := range out {
		for i, v := range z {
			out[k] += v * cmplx.Rect(1, sign*2*math.Pi*float64(i*k%n)/float64(n))
		}
	}
	return out
}

// ordered copies a spectrum out of its places; scattered puts one there.
func ordered(p *Plan, re, im []float32) (a, b []float32) {
	for k := range re {
		a, b = append(a, re[p.Place(k)]), append(b, im[p.Place(k)])
	}
	return a, b
}

func scattered(p *Plan, re, im []float32) (a, b []float32) {
	a, b = make([]float32, len(re)), make([]float32, len(im))
	for k := range re {
		a[p.Place(k)], b[p.Place(k)] = re[k], im[k]
	}
	return a, b
}

func TestAgainstTheDefinition(t *testing.T) {
	for n := Min; n <= 1024; n *= 2 {
		p := New(n)
		re, im, z := noise(n)
		p.Forward(re, im)
		re, im = ordered(p, re, im)
		requireClose(t, direct(z, -1), re, im)
		re, im, z = noise(n)
		re, im = scattered(p, re, im)
		p.Inverse(re, im)
		requireClose(t, direct(z, 1), re, im)
	}
}

// gonum's dsp/fourier, an independent double-precision transform.
func TestAgainstGonum(t *testing.T) {
	for n := Min; n <= Max; n *= 2 {
		p, other := New(n), fourier.NewCmplxFFT(n)
		re, im, z := noise(n)
		p.Forward(re, im)
		re, im = ordered(p, re, im)
		requireClose(t, other.Coefficients(nil, z), re, im)
		re, im, z = noise(n)
		re, im = scattered(p, re, im)
		p.Inverse(re, im)
		requireClose(t, other.Sequence(nil, z), re, im)
	}
}

func TestShortDataReadNothingElse(t *testing.T) {
	for n := Min; n <= Max; n *= 2 {
		p := New(n)
		re, im, z := noise(n)
		clear(z[n/4:])
		p.ForwardShort(re, im)
		re, im = ordered(p, re, im)
		requireClose(t, fourier.NewCmplxFFT(n).Coefficients(nil, z), re, im)
	}
}

func TestThereAndBack(t *testing.T) {
	for n := Min; n <= Max; n *= 2 {
		p := New(n)
		re, im, z := noise(n)
		p.Forward(re, im)
		p.Inverse(re, im)
		for k := range z {
			z[k] *= complex(float64(n), 0)
		}
		requireClose(t, z, re, im)
	}
}

func TestLengthMustBeAPowerOfTwo(t *testing.T) {
	assert.Panics(t, func() { New(96) })
	assert.Panics(t, func() { New(0) })
	assert.Panics(t, func() { New(2 * Max) })
}

func BenchmarkForward(b *testing.B) {
	for _, n := range []int{64, 128, 256, 512, 1024} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			p := New(n)
			re, im, _ := noise(n)
			for b.Loop() {
				p.Forward(re, im)
				re[1] = 1
			}
		})
	}
}

func BenchmarkThereAndBackShort512(b *testing.B) {
	p := New(512)
	re, im, _ := noise(512)
	for b.Loop() {
		p.ForwardShort(re, im)
		p.Inverse(re, im)
		clear(re)
	}
}
