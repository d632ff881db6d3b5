package retina

import (
	"math"
	"math/cmplx"
	"runtime"
	"slices"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/optics"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where there is one processor an image is made in parts, with turns for others between;
// they change nothing, and work that is given up leaves nothing behind.
func TestAnImageInParts(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	g, p := Grid{N: 128, Pitch: 0.7}, typical(3)
	whole := New(g)
	whole.SetChart(oneLine(30))
	want, err := whole.Image(p)
	require.NoError(t, err)
	for _, givenUp := range []int{1, 7, 20, 1000} {
		parts, turns := New(g), 0
		parts.SetChart(oneLine(30))
		parts.Between = func() {
			if turns++; turns == givenUp {
				panic("given up")
			}
		}
		if givenUp < 1000 {
			assert.Panics(t, func() { parts.Image(p) })
		}
		got, err := parts.Image(p)
		require.NoError(t, err)
		assert.Greater(t, turns, 30)
		assert.Equal(t, want.Y, got.Y, "given up at turn %d", givenUp)
	}
}

// tolerance of an image against an independent computation: a thousandth of
// the luminance of white paper. Nobody sees a difference of less than some five of these.
const tolerance = 1e-3

// oneLine is a chart of a single dark bar through the middle.
func oneLine(angle float64) chart.Drawing {
	l := chart.Line{Angle: angle, Width: 3, Bars: 1, Length: 150}
	return chart.Drawing{Layers: []chart.Layer{{Ground: 1, Shapes: []chart.Shape{l.Shape()}}}, Radius: 84}
}

// profile is the light across such a bar, repeated far away, by Section alone,
// with the frequencies that an image holds.
func profile(p Pupil, angle float64) func(x float64) float64 {
	const period, width = 300.0, 3
	freqs := make([]float64, int(77*period/60)) // up to 77 c/deg
	for k := range freqs {
		freqs[k] = 60 * float64(k) / period
	}
	otf := Section(p, White(), angle, freqs, nil)
	sin, cos := math.Sincos((angle + 90) * math.Pi / 180)
	return func(x float64) float64 {
		v := 1 - width/period
		for k := 1; k < len(freqs); k++ {
			f := float64(k) / period
			kept := Standard().fade(f*sin*Standard().Pitch) * Standard().fade(f*cos*Standard().Pitch)
			v -= kept * 2 * math.Sin(math.Pi*f*width) / (math.Pi * f) / period * real(otf[k]*cmplx.Rect(1, 2*math.Pi*f*x))
		}
		return v
	}
}

func TestImageOfALineAgreesWithSection(t *testing.T) {
	skipUnderRace(t)
	r := New(Standard())
	spread := typical(5)
	spread.Residual = optics.Power{M: 0.8, J0: 0.4, J45: -0.3}
	coma := inFocus(4, 570)
	coma.Residual.M += 0.5
	coma.Zernike = coefficients(map[int]float64{8: 0.3, 7: 0.1})
	for name, p := range map[string]Pupil{"fogged": fogged(30), "typical": spread, "coma": coma} {
		for _, angle := range []float64{0, 25, 130} {
			r.SetChart(oneLine(angle))
			im, err := r.Image(p)
			require.NoError(t, err)
			want := profile(p, angle)
			sin, cos := math.Sincos((angle + 90) * math.Pi / 180)
			for k := -40; k <= 40; k++ {
				for _, at := range [][2]int{{256 + k, 251}, {251, 256 + k}} {
					x, y := float64(at[0]-256)*im.Pitch, float64(256-at[1])*im.Pitch
					require.InDelta(t, want(x*cos+y*sin), im.Y[at[1]*im.N+at[0]], tolerance, "%s at %v", name, angle)
				}
			}
		}
	}
}

// The image itself must show what the method relies on: of the lines of the
// clock dial the one through the hour of the axis is the darkest.
func TestSharpestLineOfTheImageOfTheClock(t *testing.T) {
	r := New(Standard())
	r.SetChart(chart.Named(chart.Clock).Draw(chart.Hung{Labels: chart.NoLabels}))
	for hour := 1; hour <= 12; hour++ {
		im, err := r.Image(fogged(optics.Axis(30 * float64(hour))))
		require.NoError(t, err)
		best, darkest := -1.0, 1.0
		for _, l := range chart.Named(chart.Clock).Marks(chart.Hung{}) {
			sin, cos := math.Sincos(l.Angle * math.Pi / 180)
			var light float64
			for d := 30.0; d <= 55; d++ {
				light += (im.At(chart.Point{X: d * cos, Y: d * sin}) + im.At(chart.Point{X: -d * cos, Y: -d * sin})) / 52
			}
			if light < darkest {
				best, darkest = l.Angle, light
			}
		}
		assert.InDelta(t, lineOfHour(hour), best, 1e-9, "hour %d", hour)
	}
}

// halfAsFine cuts an image on a grid of half the pitch down to the frequencies
// of the coarser one, which keeps every second sample.
func halfAsFine(im *Image) *Image {
	r := New(Grid{im.N / 2, 2 * im.Pitch})
	r.fine.reset(im.N)
	copy(r.fine.re, im.Y)
	clear(r.fine.im)
	r.halve()
	out := &Image{r.grid, slices.Clone(r.half.re)}
	for k := range out.Y {
		out.Y[k] /= 4 // halve keeps the sum
	}
	return out
}

// Twice as many samples, once for finer detail and once for a wider window.
func TestDoublingTheGridChangesNothing(t *testing.T) {
	skipUnderRace(t)
	spread := typical(5)
	spread.Residual = optics.Power{M: 2, J0: 0.5, J45: -1}
	pupils := []Pupil{inFocus(2, 560), inFocus(4, 560), inFocus(8, 560), typical(6), fogged(40), spread}
	for name, c := range map[string]chart.Drawing{"fan": chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}), "letters": chart.LetterRow(0.1, "HKR")} {
		standard, finer, wider := New(Standard()), New(Grid{1024, 0.175}), New(Grid{1024, 0.35})
		for _, r := range []*Renderer{standard, finer, wider} {
			r.SetChart(c)
		}
		if name == "letters" {
			pupils = pupils[1:4]
		}
		for _, p := range pupils {
			im, err := standard.Image(p)
			require.NoError(t, err)
			detailed, err := finer.Image(p)
			require.NoError(t, err)
			detailed = halfAsFine(detailed)
			wide, err := wider.Image(p)
			require.NoError(t, err)
			var worst [2]float64
			for j := 60; j < 452; j++ { // within 68' of the middle
				for i := 60; i < 452; i++ {
					v := float64(im.Y[j*im.N+i])
					worst[0] = max(worst[0], math.Abs(v-float64(detailed.Y[j*im.N+i])))
					worst[1] = max(worst[1], math.Abs(v-float64(wide.Y[(j+256)*wide.N+i+256])))
				}
			}
			assert.LessOrEqual(t, worst[0], tolerance, "finer, %s: %.1f mm %+v", name, p.Diameter, p.Residual)
			assert.LessOrEqual(t, worst[1], tolerance, "wider, %s: %.1f mm %+v", name, p.Diameter, p.Residual)
		}
	}
}

func TestSameImageWithAnyNumberOfProcessors(t *testing.T) {
	p := typical(5)
	p.Residual = optics.Power{M: 0.7, J0: 0.3, J45: 0.2}
	draw := func(processors int) []float32 {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(processors))
		r := New(Standard())
		r.SetChart(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}))
		im, err := r.Image(p)
		require.NoError(t, err)
		return im.Y
	}
	one := draw(1)
	assert.Equal(t, one, draw(2))
	assert.Equal(t, one, draw(3))
}

func TestImageDoesNotDependOnWhatCameBefore(t *testing.T) {
	r := New(Standard())
	r.SetChart(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}))
	im, err := r.Image(fogged(30))
	require.NoError(t, err)
	first := slices.Clone(im.Y)
	big := inFocus(6, 555) // needs the padded grid
	big.Residual.M += 3
	for _, p := range []Pupil{typical(6), big, inFocus(1.2, 555)} {
		r.SetChart(chart.Named(chart.Blocks).Draw(chart.Hung{Pointer: 77}))
		_, err = r.Image(p)
		require.NoError(t, err)
	}
	r.SetChart(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}))
	im, err = r.Image(fogged(30))
	require.NoError(t, err)
	assert.Equal(t, first, im.Y)
}

// A blur of 275' spreads a small dark disc so thin that paper is left almost
// white everywhere; what leaves the window must not come in again.
func TestWideBlurDoesNotComeInAgain(t *testing.T) {
	disc := chart.Line{Width: 60, Bars: 1, Length: 60, Centre: chart.Point{X: 50}}
	r := New(Standard())
	r.SetChart(chart.Drawing{Layers: []chart.Layer{{Ground: 1, Shapes: []chart.Shape{disc.Shape()}}}, Radius: 84})
	p := inFocus(8, 555)
	p.Residual.M += 5 // 137' wide: 69' to each side
	im, err := r.Image(p)
	require.NoError(t, err)
	share := 3600 / (math.Pi / 4 * math.Pow(8*5*3.43775, 2))
	assert.InDelta(t, 1-share, im.At(chart.Point{X: 50}), 0.03)
	assert.InDelta(t, 1, im.At(chart.Point{X: -86}), 2e-3, "light has come around")
}

func TestBlurThatDoesNotFitIsRefused(t *testing.T) {
	r := New(Standard())
	r.SetChart(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}))
	p := Pupil{Diameter: 8, Residual: optics.Sphere(10)}
	_, err := r.Transfer(p, mono(555))
	require.NoError(t, err)
	p.Residual.M = 20
	_, err = r.Image(p)
	var blur *BlurError
	require.ErrorAs(t, err, &blur)
	assert.InDelta(t, 8*20.6*3.43775, blur.Blur, 2)
	assert.Contains(t, err.Error(), "567 minutes of arc")
	_, err = r.PSF(Pupil{Diameter: 8, Residual: optics.Sphere(10)}, White())
	require.ErrorAs(t, err, &blur)
	assert.InDelta(t, 179.2, blur.Room, 1e-9)
	_, err = r.Image(Pupil{Diameter: 8, Zernike: coefficients(map[int]float64{8: 1e200})})
	require.ErrorAs(t, err, &blur)
}

func TestVeilTakesContrast(t *testing.T) {
	r := New(Standard())
	r.SetChart(chart.Named(chart.Blocks).Draw(chart.Hung{Pointer: 90}))
	p := inFocus(3, 560)
	im, err := r.Image(p)
	require.NoError(t, err)
	clear := slices.Clone(im.Y)
	var mean float64
	for _, v := range clear {
		mean += float64(v) / float64(len(clear))
	}
	p.Veil = 0.2
	im, err = r.Image(p)
	require.NoError(t, err)
	for k := 0; k < len(clear); k += 97 {
		require.InDelta(t, 0.8*float64(clear[k])+0.2*mean, im.Y[k], 1e-5)
	}
}

// Through too much plus the red half of a duochrome is the clearer, through too
// little the green (common practice).
func TestDuochromeLayers(t *testing.T) {
	r := New(Standard())
	c := chart.Named(chart.Duochrome).Draw(chart.Hung{})
	r.SetChart(c)
	contrast := func(residual float64) map[chart.Light]float64 {
		layers, err := r.Layers(Pupil{Diameter: 4, Residual: optics.Sphere(residual)})
		require.NoError(t, err)
		require.Len(t, layers, len(c.Layers))
		out := map[chart.Light]float64{}
		for i, im := range layers {
			var sum, squares float64
			for _, v := range im.Y {
				sum += float64(v)
				squares += float64(v) * float64(v)
			}
			out[c.Layers[i].Light] = squares / sum
		}
		return out
	}
	plus, minus := contrast(0.5), contrast(-0.5)
	assert.Greater(t, plus[chart.Red], plus[chart.Green])
	assert.Greater(t, minus[chart.Green], minus[chart.Red])

	layers, err := r.Layers(inFocus(4, 570))
	require.NoError(t, err)
	want := slices.Clone(layers[0].Y)
	for _, l := range layers[1:] {
		add(want, l.Y)
	}
	im, err := r.Image(inFocus(4, 570))
	require.NoError(t, err)
	assert.InDeltaSlice(t, want, im.Y, 1e-6)
}

func TestPupilsThatAreRefused(t *testing.T) {
	good := Pupil{Diameter: 4}
	require.NoError(t, good.Check())
	for text, spoil := range map[string]func(p *Pupil){
		"pupil of 0.2 mm":         func(p *Pupil) { p.Diameter = 0.2 },
		"pupil of NaN mm":         func(p *Pupil) { p.Diameter = math.NaN() },
		"pupil of 12 mm":          func(p *Pupil) { p.Diameter = 12 },
		"+Inf in a pupil":         func(p *Pupil) { p.Residual.J0 = math.Inf(1) },
		"NaN in a pupil":          func(p *Pupil) { p.Zernike = []float64{0, math.NaN()} },
		"residual of 1e+06 D":     func(p *Pupil) { p.Residual.M = 1e6 },
		"directionality of -1":    func(p *Pupil) { p.Rho = -1 },
		"veil of 2":               func(p *Pupil) { p.Veil = 2 },
		"40 Zernike coefficients": func(p *Pupil) { p.Zernike = make([]float64, 40) },
	} {
		p := good
		spoil(&p)
		r := New(Standard())
		r.SetChart(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}))
		_, err := r.Image(p)
		require.ErrorContains(t, err, text)
		_, err = r.PSF(p, White())
		require.ErrorContains(t, err, text)
		_, err = r.Transfer(p, White())
		require.ErrorContains(t, err, text)
	}
	assert.Panics(t, func() { New(Grid{500, 0.35}) })
	assert.Panics(t, func() { New(Grid{512, 0}) })
}

func TestImageAt(t *testing.T) {
	im := &Image{Grid{4, 2}, []float32{
		0, 1, 2, 3,
		4, 5, 6, 7,
		8, 9, 10, 11,
		12, 13, 14, 15,
	}}
	assert.Equal(t, 10.0, im.At(chart.Point{}))
	assert.Equal(t, 11.0, im.At(chart.Point{X: 2}))
	assert.Equal(t, 6.0, im.At(chart.Point{Y: 2}))
	assert.Equal(t, 7.5, im.At(chart.Point{X: -1, Y: 1}))
	assert.Equal(t, 0.0, im.At(chart.Point{X: -99, Y: 99}))
	assert.Equal(t, 15.0, im.At(chart.Point{X: 99, Y: -99}))
}
