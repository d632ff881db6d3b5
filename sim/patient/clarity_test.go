package patient

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/retina"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// anyBlur draws a residual error such as occurs at a dial.
func anyBlur(r *rand.Rand) optics.Power {
	return optics.Power{M: 2*r.Float64() - 0.5, J0: 1.2 * (r.Float64() - 0.5), J45: 1.2 * (r.Float64() - 0.5)}
}

// longMarks are a bar and a block of three, from edge to edge of the window so
// that their ends are far from their middles.
var longMarks = map[string]chart.Line{
	"bar":   {Width: 3, Bars: 1, Length: 150},
	"block": {Width: 10, Period: 20, Bars: 3, Length: 150},
}

// inTheImage is the clarity of a mark by its definition, from the profile of
// its image: how much of the spectrum of the sharp mark is left, each
// frequency counted by what the nervous system sees of it, at the place where
// most is left.
func inTheImage(im *retina.Image, mark chart.Line) float64 {
	sin, cos := math.Sincos((mark.Angle + 90) * math.Pi / 180)
	const reach, step = 85.0, 0.1
	seen, sharp := make([]complex128, lineCount), make([]complex128, lineCount)
	wave, turn := make([]complex128, lineCount), make([]complex128, lineCount)
	for i, f := range lineFrequencies {
		wave[i], turn[i] = cmplx.Rect(step, 2*math.Pi*f/60*reach), cmplx.Rect(1, -2*math.Pi*f/60*step)
	}
	for x := -reach; x <= reach; x += step {
		ink := 1 - im.At(chart.Point{X: x * cos, Y: x * sin})
		bar := 0.0
		for i := range mark.Bars {
			if math.Abs(x-(float64(i)-float64(mark.Bars-1)/2)*mark.Period) < mark.Width/2 {
				bar = 1
			}
		}
		for i, w := range wave {
			seen[i] += complex(ink, 0) * w
			sharp[i] += complex(bar, 0) * w
			wave[i] = w * turn[i]
		}
	}
	best := 0.0
	for d := -shiftRange; d <= shiftRange; d += 0.1 {
		var left, all float64
		for i, f := range lineFrequencies {
			n := Neural(f) * Neural(f)
			if mark.Bars > 1 {
				n *= f // the edges
			}
			left += n * real(seen[i]*cmplx.Conj(sharp[i])*cmplx.Rect(1, 2*math.Pi*f/60*d))
			all += n * real(sharp[i]*cmplx.Conj(sharp[i]))
		}
		best = max(best, left/all)
	}
	return best
}

// What the observer works out from the transfer function is what stands in the
// picture.
func TestClarityIsThatOfTheImage(t *testing.T) {
	for name, mark := range longMarks {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r, g := standard(), generator(1)
			for k := range 8 {
				e := bare(3 + 2*g.Float64())
				if k%2 == 1 {
					e = fromNorms(g, 3+2*g.Float64())
				}
				s := with(e, anyBlur(g))
				mark.Angle = 180 * g.Float64()
				r.SetChart(chart.Drawing{Layers: []chart.Layer{{Ground: 1, Shapes: []chart.Shape{mark.Shape()}}}, Radius: 80})
				im, err := r.Image(s.Pupil)
				require.NoError(t, err)
				want := inTheImage(im, mark)
				assert.InDelta(t, want, s.Look(r).Clarity(mark, chart.White), 0.01, "eye %d: %+v at %v", k, s.Pupil.Residual, mark.Angle)
			}
		})
	}
}

// fine is a transfer function at the lineFrequencies across marks at an angle, on
// a grid finer and larger than the observer's.
func fine(t *testing.T, p retina.Pupil, l retina.Light, angle float64) []complex128 {
	o, err := retina.New(retina.Grid{N: 1024, Pitch: 0.25}).Transfer(p, l)
	require.NoError(t, err)
	sin, cos := math.Sincos((angle + 90) * math.Pi / 180)
	out := make([]complex128, lineCount)
	for i, f := range lineFrequencies {
		out[i] = o.At(f*cos, f*sin)
	}
	return out
}

// single is a transfer function at the lineFrequencies in single precision.
func single(otf []complex128) *[lineCount]complex64 {
	out := new([lineCount]complex64)
	for i := range out {
		out[i] = complex64(otf[i])
	}
	return out
}

// The same from a finer grid, whose transfer function is that of the pupil.
func TestClarityIsThatOfAFinerGrid(t *testing.T) {
	t.Parallel()
	r, g := retina.New(Grid()), generator(2)
	for k := range 16 {
		e := bare(3 + 2*g.Float64())
		if k%2 == 1 {
			e = fromNorms(g, 3+2*g.Float64())
		}
		s := with(e, anyBlur(g))
		look := s.Look(r)
		for name, mark := range longMarks {
			mark.Angle = 180 * g.Float64()
			otf := fine(t, s.Pupil, s.Light(chart.White), mark.Angle)
			assert.InDelta(t, clarity(single(otf), weights(mark, 1)), look.Clarity(mark, chart.White), 0.003, "%s, eye %d", name, k)
		}
	}
}

func TestClarityOfPerfectAndOfNoImage(t *testing.T) {
	var perfect, none [lineCount]complex64
	for i := range perfect {
		perfect[i] = 1
	}
	for name, mark := range longMarks {
		assert.InDelta(t, 1, clarity(&perfect, weights(mark, 1)), 1e-12, name)
		assert.Zero(t, clarity(&none, weights(mark, 1)), name)
	}
	tooMuch := with(bare(8), optics.Sphere(40)).Look(standard())
	assert.Zero(t, tooMuch.Clarity(longMarks["bar"], chart.White), "a blur too wide for any image")
}

// More defocus makes every mark less clear, up to where it drowns.
func TestClarityFallsWithDefocus(t *testing.T) {
	t.Parallel()
	r := standard()
	for name, mark := range longMarks {
		last := 1.0
		for _, d := range []float64{0, 0.25, 0.5, 0.75, 1, 1.5} {
			c := with(bare(4), optics.Sphere(d)).Look(r).Clarity(mark, chart.White)
			assert.LessOrEqual(t, c, last, "%s at %v D", name, d)
			last = c
		}
	}
}

// A grating blurred beyond its first zero shows black for white. A blur disc
// of P E milliradians loses bars at 21.287/(P E) cycles per degree (Thibos and
// Thibos 2011, Optom Vis Sci 88:1411); between this zero and the next, at
// 7.016/3.832 times as much blur, the contrast is reversed. That is no clarity.
func TestReversedContrastIsNoClarity(t *testing.T) {
	t.Parallel()
	r := standard()
	_, block := chart.BlockLines(90)
	grating := block
	grating.Bars = 10 // as many as fit the period of the lowest frequency
	frequency := 60 / block.Period
	const pupil = 4.0
	zero := 21.287 / (pupil * frequency)
	half := with(bare(pupil), optics.Sphere(zero*0.5)).Look(r)
	assert.Greater(t, half.Clarity(grating, chart.White), 0.1)
	for _, k := range []float64{1.15, 1.3, 1.5} {
		s := with(bare(pupil), optics.Sphere(zero*k))
		otf := fine(t, s.Pupil, s.Light(chart.White), block.Angle)
		require.Negative(t, real(otf[int(math.Round(frequency/lineStep))-1]), "the image is reversed at %v of the blur", k)
		assert.Zero(t, s.Look(r).Clarity(grating, chart.White), "at %v of the blur", k)
		// Of a block of few bars the square is left, which is less clear for
		// what goes on inside it.
		square := 0.0
		for i, w := range weights(block, 1)[:3] { // up to 1.5 cycles per degree
			square += w * real(otf[i])
		}
		assert.Less(t, s.Look(r).Clarity(block, chart.White), square, "at %v of the blur", k)
		assert.Less(t, s.Look(r).Clarity(block, chart.White), half.Clarity(block, chart.White)/5, "at %v of the blur", k)
	}
	g := generator(3)
	for range 5 {
		look := with(fromNorms(g, 5), anyBlur(g).Scale(2)).Look(r)
		for _, mark := range longMarks {
			mark.Angle = 180 * g.Float64()
			c := look.Clarity(mark, chart.White)
			assert.GreaterOrEqual(t, c, 0.0)
			assert.LessOrEqual(t, c, 1.0)
		}
	}
}

// The veil of scattered light takes its share of every clarity.
func TestVeilTakesItsShare(t *testing.T) {
	t.Parallel()
	r := standard()
	clear := bare(3)
	veiled := clear
	veiled.Veil = eye.Veil(80)
	a := with(clear, optics.Sphere(0.5)).Look(r).Clarity(longMarks["bar"], chart.White)
	b := with(veiled, optics.Sphere(0.5)).Look(r).Clarity(longMarks["bar"], chart.White)
	assert.InDelta(t, a*(1-veiled.Veil), b, 1e-6)
}
