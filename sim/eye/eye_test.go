package eye

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Thibos, Applegate, Schwiegerling and Webb (2000), Table 1 and Table 2.
func TestZernikeAgainstTheStandard(t *testing.T) {
	for j, nm := range map[int][2]int{0: {0, 0}, 3: {2, -2}, 4: {2, 0}, 5: {2, 2}, 7: {3, -1}, 12: {4, 0}, 17: {5, -1}, 24: {6, 0}, 31: {7, -1}} {
		n, m := Mode(j)
		assert.Equal(t, nm, [2]int{n, m}, "j = %d", j)
		assert.Equal(t, j, Index(n, m))
	}
	rows := map[int]func(r, t float64) float64{
		3:  func(r, t float64) float64 { return math.Sqrt(6) * r * r * math.Sin(2*t) },
		4:  func(r, t float64) float64 { return math.Sqrt(3) * (2*r*r - 1) },
		5:  func(r, t float64) float64 { return math.Sqrt(6) * r * r * math.Cos(2*t) },
		6:  func(r, t float64) float64 { return math.Sqrt(8) * r * r * r * math.Sin(3*t) },
		7:  func(r, t float64) float64 { return math.Sqrt(8) * (3*r*r*r - 2*r) * math.Sin(t) },
		8:  func(r, t float64) float64 { return math.Sqrt(8) * (3*r*r*r - 2*r) * math.Cos(t) },
		12: func(r, t float64) float64 { return math.Sqrt(5) * (6*math.Pow(r, 4) - 6*r*r + 1) },
		13: func(r, t float64) float64 { return math.Sqrt(10) * (4*math.Pow(r, 4) - 3*r*r) * math.Cos(2*t) },
		24: func(r, t float64) float64 {
			return math.Sqrt(7) * (20*math.Pow(r, 6) - 30*math.Pow(r, 4) + 12*r*r - 1)
		},
	}
	for j, want := range rows {
		for _, r := range []float64{0, 0.3, 0.77, 1} {
			for _, a := range []float64{0, 0.4, 2, 5} {
				assert.InDelta(t, want(r, a), Zernike(j, r, a), 1e-12, "j = %d", j)
			}
		}
	}
}

// Thibos and others (2000), p. 521: signs for right and left eyes, j = 0..14.
func TestMirrorAgainstTheStandard(t *testing.T) {
	for j, sign := range []float64{1, 1, -1, -1, 1, 1, 1, 1, -1, -1, -1, -1, 1, 1, 1} {
		assert.Equal(t, sign, mirrorSign(j), "j = %d", j)
		for _, a := range []float64{0.3, 1.9} {
			assert.InDelta(t, Zernike(j, 0.8, math.Pi-a), sign*Zernike(j, 0.8, a), 1e-12, "j = %d", j)
		}
	}
}

func TestRescaleDescribesTheSameWavefront(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SliceOfN(rapid.Float64Range(-1, 1), MaxIndex+1, MaxIndex+1).Draw(t, "c")
		k := rapid.Float64Range(0.3, 1).Draw(t, "ratio")
		r, a := rapid.Float64Range(0, 1).Draw(t, "r"), rapid.Float64Range(0, 6).Draw(t, "a")
		part := Rescale(c, k)
		var whole, cut float64
		for j := range c {
			whole += c[j] * Zernike(j, k*r, a)
			cut += part[j] * Zernike(j, r, a)
		}
		require.InDelta(t, whole, cut, 1e-9)
	})
}

// Thibos, Ye, Zhang and Bradley (1992): 400 nm is -1.7174 D from 589 nm in
// focus. The table between is the paper's formula at other wavelengths.
func TestChromaticFocus(t *testing.T) {
	assert.InDelta(t, 1.7174, ChromaticFocus(400)-ChromaticFocus(589), 1e-4)
	assert.Zero(t, ChromaticFocus(ReferenceNm))
	for nm, rx := range map[float64]float64{
		420: -1.3865, 440: -1.1142, 480: -0.6924, 500: -0.5258, 540: -0.2540, 550: -0.1961,
		560: -0.1416, 580: -0.0415, 600: 0.0481, 620: 0.1290, 650: 0.2364, 700: 0.3859,
	} {
		assert.InDelta(t, rx, ChromaticFocus(589)-ChromaticFocus(nm), 5e-4, "%v nm", nm)
	}
	// Atchison and Smith (2005), JOSA A 22:29-37, Eq. 5: another model of the
	// same; the two differ by at most 0.06 D.
	other := func(nm float64) float64 {
		return 1.60911 - 6.70941e5/math.Pow(nm, 2) + 5.55334e10/math.Pow(nm, 4) - 5.59998e15/math.Pow(nm, 6)
	}
	for nm := 400.0; nm <= 700; nm += 20 {
		assert.InDelta(t, other(nm)-other(589), ChromaticFocus(589)-ChromaticFocus(nm), 0.07, "%v nm", nm)
	}
}

// Watson and Yellott (2012), Eq. 21, evaluated on the field of 60 degrees
// across, and its closed form Eq. 27.
func TestPupilDiameter(t *testing.T) {
	field := 900 * math.Pi
	for _, c := range []struct {
		luminance, area float64
		both            bool
		age, want       float64
	}{
		{0.01, field, true, 30, 7.0488}, {1, field, true, 30, 5.1195}, {100, field, true, 30, 2.8869},
		{100, field, true, 60, 2.6958}, {10, field, false, 30, 5.1195}, {100, 100, true, 20, 4.5993},
		{10000, field, true, 60, 2.1784}, {1, 900, true, 45, 5.2401},
	} {
		assert.InDelta(t, c.want, PupilDiameter(c.luminance, c.area, c.both, c.age), 1e-4)
	}
	closed := func(f, y float64) float64 {
		f = math.Pow(f, 0.41)
		return (18.5172 + 0.122165*f - 0.105569*y + 0.000138645*f*y) / (2 + 0.0630635*f)
	}
	assert.InDelta(t, closed(1000*field, 30), PupilDiameter(1000, field, true, 30), 1e-4)
}

// Hofstetter (1950), mean amplitude: 9.5 D at 30 and 6.5 D at 40 years.
func TestAmplitude(t *testing.T) {
	assert.InDelta(t, 9.5, Amplitude(30), 1e-12)
	assert.InDelta(t, 6.5, Amplitude(40), 1e-12)
	assert.Zero(t, Amplitude(70))
}

// Thibos, Hong, Bradley and Cheng (2002): root-mean-square higher-order error
// of independent draws from the published means and deviations, and mean of
// the eyes' own RMS within a tenth.
func TestDrawnEyesMatchTheNorms(t *testing.T) {
	const eyes = 4000
	for _, c := range []struct{ d, rms, mean float64 }{
		{3, 0.0459, 0.0403}, {4.5, 0.1379, 0.1253}, {6, 0.3042, 0.2787}, {7.5, 0.5585, 0.5249},
	} {
		r := rand.New(rand.NewPCG(1, 2))
		var sum, squares float64
		for range eyes {
			v := RMS(Draw(r).At(c.d))
			sum += v / eyes
			squares += v * v / eyes
		}
		assert.InEpsilon(t, c.rms, math.Sqrt(squares), 0.03, "%v mm", c.d)
		assert.InEpsilon(t, c.mean, sum, 0.1, "%v mm", c.d)
	}
	// Typical eyes are near the median, each in its own way.
	var sum float64
	for seed := range uint64(200) {
		sum += RMS(Typical(seed).At(6)) / 200
	}
	assert.InEpsilon(t, 0.2480, sum, 0.05)
	assert.NotEqual(t, Typical(1), Typical(2))
}

func TestAberrationsAt(t *testing.T) {
	assert.Nil(t, Aberrations{}.At(4))
	a := Aberrations{Coefficients: make([]float64, 13), Diameter: 6}
	a.Coefficients[12] = 0.2
	small := a.At(3)
	assert.InDelta(t, 0.2/16, small[12], 1e-12, "fourth order goes with the fourth power")
	assert.Zero(t, small[4], "what a small pupil turns into defocus belongs to the refraction")
	b := Typical(1)
	assert.InDeltaSlice(t, b.At(6), b.Mirrored().Mirrored().At(6), 1e-12)
}

func TestHaze(t *testing.T) {
	e := New(4, 70, Typical(1))
	assert.Zero(t, e.Haze(), "no more than the age does")
	hazy := e.Hazy(0.5)
	assert.InDelta(t, 0.5, hazy.Haze(), 1e-12)
	assert.InDelta(t, (1-e.Veil)/2, 1-hazy.Veil, 1e-12, "half of what the age lets pass")
	assert.Equal(t, e, e.Hazy(0))
	assert.Zero(t, Eye{Age: 70}.Haze(), "clearer than most")
}

func TestAgeing(t *testing.T) {
	assert.Less(t, Veil(20), 0.002)
	assert.InDelta(t, 1-1/1.142, Veil(70), 1e-9)
	assert.Equal(t, 1.0, Transmittance(500, 32))
	assert.Less(t, Transmittance(500, 75), Transmittance(600, 75), "an old lens takes the blue")
}
