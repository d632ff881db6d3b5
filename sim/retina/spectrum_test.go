package retina

import (
	"math"
	"math/cmplx"
	"testing"

	"conoid/sim/chart"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func charts() map[string]chart.Drawing {
	return map[string]chart.Drawing{
		"fan": chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}), "arrow": chart.Named(chart.Arrow).Draw(chart.Hung{Pointer: 35}), "blocks": chart.Named(chart.Blocks).Draw(chart.Hung{Pointer: 35}),
		"letters": chart.LetterRow(0.4, "DRK"), "duochrome": chart.Named(chart.Duochrome).Draw(chart.Hung{}),
	}
}

// chart.Shape.Spectrum is the exact transform of a polygon, edge by edge.
func TestDrawingIsTheExactSpectrum(t *testing.T) {
	r := New(Standard())
	for name, c := range charts() {
		r.SetChart(c)
		for k, l := range c.Layers {
			s := r.spectrum(0, k)
			area := Standard().width() * Standard().width()
			exact := func(i, j int) (v complex128) {
				for _, shape := range l.Shapes {
					v += complex(shape.Value/area, 0) * shape.Spectrum(float64(i)*Standard().step(), -float64(j)*Standard().step())
				}
				return v
			}
			scale := cmplx.Abs(exact(0, 0))
			places := r.plan(s.n).Places()
			for j := 0; j < 180; j += 7 {
				for i := -180; i < 180; i += 7 { // up to 60 cycles per degree
					re, im := s.row(j)
					at := places[i&(s.n-1)]
					got := complex(float64(re[at]), float64(im[at]))
					want := exact(i, j)
					if i == 0 && j == 0 {
						want += complex(l.Ground, 0)
					}
					require.LessOrEqual(t, cmplx.Abs(got-want), 3e-5*scale+1e-8, "%s %d %d: %v, want %v", name, i, j, got, want)
				}
			}
		}
	}
}

// The light of the picture is what the areas of the shapes leave of the ground.
func TestDrawnAreaIsTheAreaOfTheShapes(t *testing.T) {
	r := New(Standard())
	for name, c := range charts() {
		r.SetChart(c)
		im, err := r.Image(inFocus(4, 555))
		require.NoError(t, err)
		var got, want float64
		for _, v := range im.Y {
			got += float64(v) * im.Pitch * im.Pitch
		}
		for _, l := range c.Layers {
			want += l.Ground * math.Pow(im.width(), 2)
			for _, s := range l.Shapes {
				want += s.Value * s.Area()
			}
		}
		assert.InDelta(t, want, got, 0.1, name) // of 32000 square minutes of arc
	}
}

func TestTurningOfAPathDoesNotMatter(t *testing.T) {
	square := []chart.Point{{X: -3, Y: -2}, {X: 5, Y: -2}, {X: 5, Y: 4}, {X: -3, Y: 4}}
	back := []chart.Point{square[3], square[2], square[1], square[0]}
	r := New(Grid{64, 0.5})
	var one, other spectrum
	for _, c := range []struct {
		out  *spectrum
		path []chart.Point
	}{{&one, square}, {&other, back}} {
		r.SetChart(chart.Drawing{Layers: []chart.Layer{{Ground: 1, Shapes: []chart.Shape{{Paths: [][]chart.Point{c.path}, Value: -1}}}}})
		r.draw(c.out, r.chart.Layers[0], 64)
	}
	assert.InDeltaSlice(t, one.re, other.re, 1e-6)
	assert.InDeltaSlice(t, one.im, other.im, 1e-6)
}
