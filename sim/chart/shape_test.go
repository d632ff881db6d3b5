package chart_test

import (
	"math"
	"math/cmplx"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"conoid/sim/chart"
)

func TestArea(t *testing.T) {
	square := []chart.Point{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: 2, Y: 2}, {X: 0, Y: 2}}
	hole := []chart.Point{{X: .5, Y: .5}, {X: .5, Y: 1.5}, {X: 1.5, Y: 1.5}, {X: 1.5, Y: .5}}
	assert.Zero(t, chart.Shape{}.Area())
	assert.Equal(t, 4.0, chart.Shape{Paths: [][]chart.Point{square}}.Area())
	assert.Equal(t, 1.0, chart.Shape{Paths: [][]chart.Point{hole}}.Area(), "clockwise counts as well")
	assert.Equal(t, 3.0, chart.Shape{Paths: [][]chart.Point{square, hole}}.Area())
}

func TestScale(t *testing.T) {
	s := chart.Shape{Paths: [][]chart.Point{{{X: 1, Y: 2}, {X: -1, Y: 0}, {X: 0, Y: -3}}}, Value: -1}
	want := chart.Shape{Paths: [][]chart.Point{{{X: 12, Y: 11}, {X: 8, Y: 7}, {X: 10, Y: 1}}}, Value: -1}
	assert.Equal(t, want, chart.Scale(s, 2, chart.Point{X: 10, Y: 7}))
	assert.Equal(t, chart.Point{X: 1, Y: 2}, s.Paths[0][0], "the shape itself stays")
}

// A bar of length a and width b has the spectrum ab·sinc(a·f∥)·sinc(b·f⊥)
// around its middle (any table of Fourier transforms).
func TestSpectrumOfABar(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := chart.Line{
			Angle:  rapid.SampledFrom([]float64{0, 10, 45, 90, 123.4}).Draw(t, "angle"),
			Width:  rapid.Float64Range(1, 10).Draw(t, "width"),
			Length: rapid.Float64Range(1, 60).Draw(t, "length"),
			Centre: chart.Point{X: rapid.Float64Range(-60, 60).Draw(t, "x"), Y: rapid.Float64Range(-60, 60).Draw(t, "y")},
			Bars:   1,
		}
		fx := frequency(t, "fx")
		fy := frequency(t, "fy")
		sin, cos := math.Sincos(l.Angle * math.Pi / 180)
		size := l.Width * l.Length * sinc(l.Length*(fx*cos+fy*sin)) * sinc(l.Width*(fy*cos-fx*sin))
		want := cmplx.Rect(size, -2*math.Pi*(fx*l.Centre.X+fy*l.Centre.Y))
		got := l.Shape().Spectrum(fx, fy)
		assert.InDelta(t, 0, cmplx.Abs(got-want), 1e-9*l.Width*l.Length, "got %v, want %v", got, want)
	})
}

// frequency is of either sign, in cycles per minute of arc: the size of those
// in an image, or next to nothing, or nothing.
func frequency(t *rapid.T, name string) float64 {
	f := rapid.Float64Range(-1, 1).Draw(t, name)
	return f * rapid.SampledFrom([]float64{1, 1e-3, 1e-6, 1e-12, 1e-160, 0}).Draw(t, name+" scale")
}

func TestSpectrumAgainstCuts(t *testing.T) {
	shapes := map[string]chart.Shape{
		"red half": drawn(chart.Duochrome, chart.Hung{}).Layers[0].Shapes[0],
		"head":     drawn(chart.Arrow, chart.Hung{Pointer: 25}).Layers[0].Shapes[1],
	}
	for _, r := range chart.LetterSet {
		glyph, _ := chart.LetterShape(r)
		shapes[string(r)] = chart.Scale(glyph, 2, chart.Point{X: 3, Y: -1})
	}
	for name, s := range shapes {
		for _, f := range [][2]float64{{0, 0}, {0.02, 0}, {0, -0.05}, {0.04, 0.03}, {-0.1, 0.07}} {
			want := spectrumByCuts(s, f[0], f[1], 0.005)
			got := s.Spectrum(f[0], f[1])
			assert.InDelta(t, 0, cmplx.Abs(got-want), 3e-4*s.Area(), "%s at %v: got %v, want %v", name, f, got, want)
		}
	}
}

// The spectrum of a shape moved by d is turned by exp(−2πi f·d); of real ink
// it is conjugate at −f.
func TestSpectrumMovesAndMirrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.SampledFrom([]rune(chart.LetterSet)).Draw(t, "letter")
		s, _ := chart.LetterShape(r)
		d := chart.Point{X: rapid.Float64Range(-80, 80).Draw(t, "x"), Y: rapid.Float64Range(-80, 80).Draw(t, "y")}
		fx := rapid.Float64Range(-1, 1).Draw(t, "fx")
		fy := rapid.Float64Range(-1, 1).Draw(t, "fy")
		still := s.Spectrum(fx, fy)
		want := still * cmplx.Rect(1, -2*math.Pi*(fx*d.X+fy*d.Y))
		assert.InDelta(t, 0, cmplx.Abs(chart.Scale(s, 1, d).Spectrum(fx, fy)-want), 1e-9)
		assert.InDelta(t, 0, cmplx.Abs(s.Spectrum(-fx, -fy)-cmplx.Conj(still)), 1e-9)
	})
}
