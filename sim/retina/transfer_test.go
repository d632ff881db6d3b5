package retina

import (
	"errors"
	"math"
	"math/cmplx"
	"testing"

	"conoid/sim/eye"
	"conoid/sim/optics"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// skipUnderRace leaves out a test of numbers alone: the detector makes it thirty
// times as slow, and the tests that remain run through the same work.
func skipUnderRace(t *testing.T) {
	t.Helper()
	if underRace {
		t.Skip("a test of numbers, too slow under the race detector")
	}
}

// anyPupil draws pupils of 2 to 8 mm with residuals up to 2 dioptres, half of
// them with the aberrations of some eye.
func anyPupil(t *rapid.T) Pupil {
	p := Pupil{Diameter: rapid.Float64Range(2, 8).Draw(t, "diameter")}
	a, b := rapid.Float64Range(0, math.Pi).Draw(t, "a"), rapid.Float64Range(0, 2*math.Pi).Draw(t, "b")
	p.Residual = powerOf(rapid.Float64Range(0, 2).Draw(t, "strength"), a, b)
	if rapid.Bool().Draw(t, "aberrations") {
		eyes := eye.Aberrations{Deviates: rapid.SliceOfN(rapid.Float64Range(-2, 2), 22, 22).Draw(t, "deviates")}
		p.Zernike, p.Rho, p.X0 = eyes.At(p.Diameter), 0.05, 0.5
	}
	return p
}

// powerOf is a power of a given strength |u| in the direction of two angles.
func powerOf(strength, a, b float64) optics.Power {
	return optics.Power{M: math.Cos(a), J0: math.Sin(a) * math.Cos(b), J45: math.Sin(a) * math.Sin(b)}.Scale(strength)
}

// requireTransfer compares a sample of a transfer function, which the window and
// the samples of an image have gone through, with Section, which has neither:
// what a window cuts off or samples fold back shows as a difference. A place
// between samples is tested elsewhere.
func requireTransfer(t require.TestingT, o *Transfer, p Pupil, l Light, x, y int) {
	fx, fy := float64(x)*o.Step, float64(y)*o.Step
	f, a := math.Hypot(fx, fy), math.Atan2(fy, fx)/math.Pi*180-90
	if f > 60 {
		return
	}
	want, got := at(p, l, a, f), o.At(fx, fy)
	require.LessOrEqual(t, cmplx.Abs(want-got), 3e-3, "%v c/deg at %v: %v, want %v", f, a, got, want)
}

func TestNothingIsAliased(t *testing.T) {
	skipUnderRace(t)
	r := New(Standard())
	rapid.Check(t, func(t *rapid.T) {
		p := anyPupil(t)
		l := mono(rapid.Float64Range(480, 640).Draw(t, "nm"))
		o, err := r.Transfer(p, l)
		require.NoError(t, err)
		for range 3 {
			requireTransfer(t, o, p, l, rapid.IntRange(-178, 178).Draw(t, "x"), rapid.IntRange(-178, 178).Draw(t, "y"))
		}
	})
}

func TestNothingIsAliasedInStrongBlur(t *testing.T) {
	skipUnderRace(t)
	r := New(Standard())
	l := mono(550)
	for i, d := range []float64{2, 4, 6, 8} {
		for k, strength := range []float64{4, 10} {
			p := typical(d)
			p.Residual = powerOf(strength, 0.7*float64(i), 1.3*float64(k+i))
			o, err := r.Transfer(p, l)
			require.NoError(t, err)
			for _, at := range [][2]int{{1, 2}, {-5, 3}, {10, 0}, {-20, -40}, {100, 30}} {
				requireTransfer(t, o, p, l, at[0], at[1])
			}
		}
	}
}

func TestTransferBetweenItsSamples(t *testing.T) {
	r := New(Standard())
	p := typical(6)
	p.Residual = optics.Power{M: 1, J0: 0.4, J45: -0.3}
	for name, p := range map[string]Pupil{"sharp": inFocus(3, 555), "fogged": fogged(30), "typical": typical(5), "typical, fogged": p} {
		o, err := r.Transfer(p, White())
		require.NoError(t, err)
		for _, angle := range []float64{0, 25, 90, 130} {
			sin, cos := math.Sincos((angle + 90) * math.Pi / 180)
			for _, f := range []float64{0.5, 1, 3, 7, 12, 20, 30, 45} {
				want, got := at(p, White(), angle, f), o.At(f*cos, f*sin)
				assert.LessOrEqual(t, cmplx.Abs(want-got), 2.5e-3, "%s at %v: %v c/deg: %.4f, want %.4f", name, angle, f, got, want)
				assert.InDelta(t, 0, cmplx.Abs(o.At(-f*cos, -f*sin)-cmplx.Conj(got)), 1e-6)
			}
		}
		assert.Equal(t, complex(1, 0), o.At(0, 0))
		assert.Zero(t, o.At(90, 0))
	}
}

func TestTransferUnderAVeil(t *testing.T) {
	r := New(Standard())
	p := inFocus(3, 555)
	clear, err := r.Transfer(p, mono(555))
	require.NoError(t, err)
	p.Veil = 0.3
	veiled, err := r.Transfer(p, mono(555))
	require.NoError(t, err)
	assert.InDelta(t, 0.7*real(clear.At(0.1, 0)), real(veiled.At(0.1, 0)), 1e-5)
	assert.Equal(t, complex(1, 0), veiled.At(0, 0))
}

// The light at the edge over the mean of exp(-decay d^2), whose integral over a
// disc is known.
func TestEdgeOfAnApodisedPupil(t *testing.T) {
	v := Pupil{Diameter: 8, Rho: 0.05}.seen()
	q := 0.05 * math.Ln10 * 16
	assert.InDelta(t, math.Exp(-q)*q/(1-math.Exp(-q)), v.edge(), 1e-9)
	assert.Equal(t, 1.0, Pupil{Diameter: 8}.seen().edge())
}

func TestHalvingKeepsLightAndIsReal(t *testing.T) {
	r := New(Grid{64, 1})
	r.fine.reset(32)
	clear(r.fine.im)
	var light float32
	for k := range r.fine.re {
		r.fine.re[k] = float32(k * k % 101)
		light += r.fine.re[k]
	}
	r.halve()
	for k, v := range r.half.re {
		light -= v
		require.InDelta(t, 0, r.half.im[k], 1e-3)
	}
	assert.InDelta(t, 0, light, 0.1)
}

// A ray and the squares of a row are what At gives one by one, whatever the
// direction and however far apart the places are.
func TestRaysAndRowsAreThoseOfAt(t *testing.T) {
	r := New(Grid{256, 0.35})
	rapid.Check(t, func(t *rapid.T) {
		p := anyPupil(t)
		o, err := r.TransferTo(p, mono(555), rapid.SampledFrom([]float64{20, 32, Finest}).Draw(t, "limit"))
		require.NoError(t, err)
		angle, step := rapid.Float64Range(-10, 370).Draw(t, "angle"), rapid.Float64Range(0.1, 2).Draw(t, "step")
		ray := make([]complex64, 40)
		o.Ray(angle, step, ray)
		sin, cos := math.Sincos((angle + 90) * math.Pi / 180)
		for k, got := range ray {
			f := step * float64(k+1)
			if m := f * max(math.Abs(sin), math.Abs(cos)); math.Abs(m-o.Limit) > 1e-6 {
				require.LessOrEqual(t, cmplx.Abs(complex128(got)-o.At(f*cos, f*sin)), 1e-6, "%v c/deg", f)
			}
		}
		fy := rapid.Float64Range(0.01, o.Limit).Draw(t, "fy")
		step = rapid.Float64Range(0.05, 3).Draw(t, "across")
		from := -rapid.IntRange(0, int(o.Limit/step)).Draw(t, "from")
		row := make([]float32, rapid.IntRange(0, int(o.Limit/step)).Draw(t, "to")-from)
		o.Squares(fy, step, from, row)
		for k, got := range row {
			v := cmplx.Abs(o.At(float64(from+k)*step, fy))
			require.InDelta(t, v*v, got, 1e-6)
		}
	})
}

// A transfer function as far as it is asked for is the beginning of the whole, but
// for the little that coarser samples may fold in.
func TestTransferToALimit(t *testing.T) {
	r := New(Standard())
	whole, err := r.Transfer(typical(5), White())
	require.NoError(t, err)
	part, err := r.TransferTo(typical(5), White(), 32)
	require.NoError(t, err)
	for _, f := range [][2]float64{{0, 0.1}, {-0.4, 0}, {-31.9, 5}, {31.9, -31.9}, {3, 31.9}, {-20, -0.1}} {
		assert.InDelta(t, 0, cmplx.Abs(whole.At(f[0], f[1])-part.At(f[0], f[1])), 2e-4, "%v", f)
	}
	assert.NotZero(t, whole.At(32.1, 0))
	assert.Zero(t, part.At(32.1, 0))
	assert.Zero(t, whole.At(0, -60.1))
}

// Samples as coarse as a limit allows show below it what finer ones show. At the
// frequencies of the window itself the two differ by nothing but what is folded
// in: the frequency and its fellows whole sampling rates away. Those along x and
// y are the nearest, each with no more than is allowed (places between, which
// the window makes too, are tested above).
func TestNothingFoldsInBelowALimit(t *testing.T) {
	skipUnderRace(t)
	r := New(Grid{256, 0.35})
	coarser := 0
	rapid.Check(t, func(t *rapid.T) {
		p, l := anyPupil(t), mono(rapid.Float64Range(480, 640).Draw(t, "nm"))
		fine, err := r.Transfer(p, l)
		var wide *BlurError
		if errors.As(err, &wide) { // of an eye far from all others, on so small a grid
			return
		}
		require.NoError(t, err)
		level := r.beam.plan[0].level
		limit := rapid.Float64Range(20, 40).Draw(t, "limit")
		o, err := r.TransferTo(p, l, limit)
		require.NoError(t, err)
		if r.beam.plan[0].level == level {
			return
		}
		coarser++
		step := 60 / (float64(r.beam.plan[0].n) * r.grid.Pitch)
		n := int(limit / step)
		for y := 0; y <= n; y++ {
			for x := -n; x <= n; x++ {
				fx, fy := float64(x)*step, float64(y)*step
				if math.Hypot(fx, fy) <= limit {
					require.LessOrEqual(t, cmplx.Abs(o.At(fx, fy)-fine.At(fx, fy)), 2*foldedInTransfer, "%v, %v c/deg", fx, fy)
				}
			}
		}
	})
	require.Positive(t, coarser, "some limit allows coarser samples")
}

// By the end of what a pupil lets through, the overlap that is left is too thin
// for a blur to take much of it: no less is expected there than Section finds,
// which itself is true to 2e-4.
func TestDetailNearTheCutOff(t *testing.T) {
	for _, d := range []float64{3, 4, 6, 8} {
		for _, blur := range []float64{0, 0.25, -0.5, 1, 2} {
			p := inFocus(d, 555)
			p.Residual.M += blur
			var b rays
			b.trace(p.seen())
			for _, share := range []float64{0.9, 0.93, 0.96, 0.98, 0.99} {
				f := share * cutoff(d, 555)
				assert.LessOrEqual(t, cmplx.Abs(at(p, mono(555), 0, f)), b.detail(f*perRadian, 555)+2e-4, "%v mm, %v D, %v", d, blur, share)
			}
		}
	}
}
