package render

import (
	"image"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/retina"
)

// decode is the inverse of the transfer function of sRGB (IEC 61966-2-1).
func decode(signal float64) float64 {
	if signal <= 0.04045 {
		return signal / 12.92
	}
	return math.Pow((signal+0.055)/1.055, 2.4)
}

// luminance is relative to white (IEC 61966-2-1).
func luminance(c colour) float64 { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] }

// grey is a retinal image in white light.
func grey(im *retina.Image) *image.NRGBA {
	return SeenLayers([]*retina.Image{im}, []chart.Light{chart.White})
}

// Signals worked from the formulas of IEC 61966-2-1.
func TestSignalIsSRGB(t *testing.T) {
	assert.InDelta(t, 0.5, encode(0.21404), 1e-5)
	assert.InDelta(t, 0.04045, encode(0.0031308), 1e-5)
	for _, c := range []struct {
		light float64
		want  uint8
	}{
		{0, 0}, {1, 255}, {0.2140, 127}, {0.5, 188}, {0.18, 118}, {0.001, 3},
		{-1, 0}, {1.7, 255}, {math.NaN(), 0}, {math.Inf(1), 255},
	} {
		assert.Equal(t, c.want, level(c.light), "%v", c.light)
	}
	for s := range 256 {
		assert.Equal(t, uint8(s), level(decode(float64(s)/255)), "signal %d", s)
	}
}

func TestDuochromeHalvesAreEquallyBright(t *testing.T) {
	red, green := colourOf(chart.Red), colourOf(chart.Green)
	assert.InEpsilon(t, luminance(red), luminance(green), 0.005)
	assert.InDelta(t, 1, luminance(colourOf(chart.White)), 1e-9)
	assert.Greater(t, red[0], 10*red[1])
	assert.Greater(t, green[1], 5*green[0])
}

// dark is the amount of ink in a part of a picture, in pixels.
func dark(im *image.NRGBA, part image.Rectangle) (ink float64) {
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			ink += 1 - decode(float64(im.NRGBAAt(x, y).R)/255)
		}
	}
	return ink
}

// The arrow to the label 30 points to one o'clock: up and to the right. A
// picture that is mirrored or upside down has its ink elsewhere.
func TestPicturesAreInThePatientsView(t *testing.T) {
	c := chart.Named(chart.Arrow).Draw(chart.Hung{Pointer: 30})
	r := retina.New(retina.Grid{N: 256, Pitch: 0.7})
	r.SetChart(c)
	seen, err := r.Image(retina.Pupil{Diameter: 3})
	require.NoError(t, err)
	for name, im := range map[string]*image.NRGBA{"plain": Plain(c, 256), "seen": grey(seen)} {
		right := dark(im, image.Rect(128, 0, 256, 128))
		left := dark(im, image.Rect(0, 0, 128, 128))
		low := dark(im, image.Rect(0, 132, 256, 256))
		assert.Greater(t, right, 5*left, name)
		assert.Greater(t, right, 20*low, name)
	}
}

// What is drawn sharp and what a perfect eye sees lie over each other: the
// centres of their ink agree to a tenth of a pixel.
func TestSharpLiesOverSeen(t *testing.T) {
	g := retina.Grid{N: 256, Pitch: 0.7}
	c := chart.Named(chart.Arrow).Draw(chart.Hung{Pointer: 75})
	r := retina.New(g)
	r.SetChart(c)
	im, err := r.Image(retina.Pupil{Diameter: 3})
	require.NoError(t, err)
	x, y := centre(grey(im))
	sharpX, sharpY := centre(Sharp(c, g.N, float64(g.N)*g.Pitch))
	assert.InDelta(t, x, sharpX, 0.1)
	assert.InDelta(t, y, sharpY, 0.1)
}

func centre(im *image.NRGBA) (x, y float64) {
	var sum float64
	for k := range im.Rect.Dx() * im.Rect.Dy() {
		i, j := k%im.Rect.Dx(), k/im.Rect.Dx()
		ink := dark(im, image.Rect(i, j, i+1, j+1))
		if ink < 0.02 { // the faint veil over the whole image
			continue
		}
		x, y, sum = x+ink*float64(i), y+ink*float64(j), sum+ink
	}
	return x / sum, y / sum
}

// A picture has as much ink as the chart has area.
func TestPlainKeepsArea(t *testing.T) {
	const size, span = 512, 256.0
	for name, c := range map[string]chart.Drawing{
		"fan": chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}), "blocks": chart.Named(chart.Blocks).Draw(chart.Hung{Pointer: 77}), "row": chart.LetterRow(0.3, "CREPZ"), "sunburst": chart.Named(chart.Sunburst).Draw(chart.Hung{Labels: chart.ByAxis}),
	} {
		var area float64
		for _, s := range WithLabels(c).Layers[0].Shapes {
			area += s.Area()
		}
		ink := dark(Sharp(c, size, span), image.Rect(0, 0, size, size))
		assert.InEpsilon(t, area, ink*span*span/size/size, 0.005, name)
	}
}

func TestPlainIsWhereTheChartSays(t *testing.T) {
	im := Plain(chart.Named(chart.Duochrome).Draw(chart.Hung{}), 400)
	assert.Equal(t, uint8(0), im.NRGBAAt(5, 5).R, "dark around")
	red, green := im.NRGBAAt(100, 200), im.NRGBAAt(300, 200)
	assert.Greater(t, red.R, red.G)
	assert.Greater(t, green.G, green.R)
	assert.Equal(t, uint8(255), Plain(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.NoLabels}), 400).NRGBAAt(5, 5).B, "white paper")
	assert.Panics(t, func() { Plain(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.NoLabels}), 0) })
}

func TestSeenLayers(t *testing.T) {
	grid := retina.Grid{N: 64, Pitch: 1}
	one := &retina.Image{Grid: grid, Y: make([]float32, 64*64)}
	two := &retina.Image{Grid: grid, Y: make([]float32, 64*64)}
	one.Y[3*64+5], two.Y[7*64+9] = 1, 1
	im := SeenLayers([]*retina.Image{one, two}, []chart.Light{chart.Red, chart.Green})
	assert.Equal(t, colourOf(chart.Red).display(), im.NRGBAAt(5, 3))
	assert.Equal(t, colourOf(chart.Green).display(), im.NRGBAAt(9, 7))
	assert.Equal(t, uint8(255), grey(one).NRGBAAt(5, 3).G)
	assert.Equal(t, uint16(65535), Linear16(one).Gray16At(5, 3).Y)
	assert.Equal(t, uint16(0), Linear16(one).Gray16At(3, 5).Y)
	assert.Panics(t, func() { SeenLayers([]*retina.Image{one}, nil) })
}

func TestLinear16IsInProportion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float32Range(0, 1).Draw(t, "light")
		im := &retina.Image{Grid: retina.Grid{N: 1, Pitch: 1}, Y: []float32{v}}
		require.InDelta(t, float64(v), float64(Linear16(im).Gray16At(0, 0).Y)/65535, 0.5/65535+1e-9)
	})
}

// Power that is left over in the vertical meridian only spreads a point
// vertically: the picture of it is tall.
func TestPSFStandsUpright(t *testing.T) {
	r := retina.New(retina.Grid{N: 256, Pitch: 0.35})
	residual := optics.Rx{Cyl: 1, Axis: 180}.Power()
	require.InDelta(t, 1, residual.At(90), 1e-9)
	spread, err := r.PSF(retina.Pupil{Diameter: 4, Residual: residual}, retina.White())
	require.NoError(t, err)
	im := PSF(spread)
	var tall, wide int
	for k, v := range im.Pix {
		x, y := k%spreadSize-spreadSize/2, k/spreadSize-spreadSize/2
		if v < 90 || y > 200 {
			continue // dark, or the scale at the foot
		}
		tall, wide = max(tall, y), max(wide, x)
	}
	assert.Greater(t, tall, 3*wide)
	assert.NotZero(t, wide)
}

func TestPSFCarriesItsScale(t *testing.T) {
	im := &retina.Image{Grid: retina.Grid{N: 64, Pitch: 1}, Y: make([]float32, 64*64)}
	im.Y[32*64+32] = 1
	half := spreadHalf(im)
	assert.Equal(t, 8, half)
	out := PSF(im)
	bar := 0
	for x := range spreadSize {
		if out.GrayAt(x, spreadSize-25).Y > 200 {
			bar++
		}
	}
	// 16 samples of a minute of arc are shown, so a quarter is 4; the bar is 2.
	assert.InDelta(t, 2*spreadSize/16, bar, 1.5)
}

func BenchmarkSeen(b *testing.B) {
	r := retina.New(retina.Standard())
	r.SetChart(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.NoLabels}))
	im, err := r.Image(retina.Pupil{Diameter: 3})
	require.NoError(b, err)
	for b.Loop() {
		grey(im)
	}
}

func BenchmarkPlain(b *testing.B) {
	c := chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis})
	for b.Loop() {
		Plain(c, 512)
	}
}
