package retina

import (
	"math"
	"math/cmplx"
	"testing"

	"conoid/sim/eye"
	"conoid/sim/optics"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mono is light of one wavelength, nanometres.
func mono(nm float64) Light { return Light{Nm: []float64{nm}, Weight: []float64{1}} }

// inFocus is a pupil of d millimetres in focus at a wavelength.
func inFocus(d, nm float64) Pupil {
	return Pupil{Diameter: d, Residual: optics.Sphere(-eye.ChromaticFocus(nm))}
}

// typical is a typical eye with d millimetres of pupil.
func typical(d float64) Pupil {
	return Pupil{Diameter: d, Zernike: eye.Typical(1).At(d), Rho: eye.TypicalRho, X0: eye.PeakNasal, Y0: eye.PeakUpwards}
}

func at(p Pupil, l Light, angle, f float64) complex128 {
	return Section(p, l, angle, []float64{f}, nil)[0]
}

// The MTF of a circular pupil in focus is (2/pi)(acos s - s sqrt(1-s^2)), s the
// share of the cut-off D/lambda: Goodman, Introduction to Fourier Optics.
var diffraction = map[float64]float64{
	0.1: 0.87289, 0.2: 0.74706, 0.25: 0.68504, 0.5: 0.39100, 0.75: 0.14429, 0.9: 0.03739,
}

func cutoff(d, nm float64) float64 { return d * math.Pi * 1e6 / (180 * nm) }

func TestSectionMeetsTheDiffractionLimit(t *testing.T) {
	assert.InDelta(t, 125.789, cutoff(4, 555), 1e-3)
	for _, d := range []float64{1.2, 2, 4, 8} {
		p, u := inFocus(d, 555), cutoff(d, 555)
		for s, want := range diffraction {
			assert.InDelta(t, want, real(at(p, mono(555), 17, s*u)), 6e-6, "%v mm, s = %v", d, s)
		}
		for s := 0.1; s < 1; s += 0.1 {
			want := 2 / math.Pi * (math.Acos(s) - s*math.Sqrt(1-s*s))
			assert.InDelta(t, want, real(at(p, mono(555), 100, s*u)), 4e-6)
		}
		assert.Zero(t, at(p, mono(555), 17, 1.01*u))
	}
}

// Geometric optics (Thibos and Thibos 2011): a blur disc P E milliradians wide;
// the MTF of a disc is 2 J1(x)/x, x = pi b u, first 0 at 21.287/(P E) c/deg.
func TestSectionMeetsGeometricOpticsInLargeBlur(t *testing.T) {
	for _, c := range []struct{ d, e float64 }{{6, 3}, {8, 6}} {
		p := inFocus(c.d, 555)
		p.Residual.M += c.e
		zero := 21.287 / (c.d * c.e)
		for _, k := range []float64{0.3, 0.6, 1, 1.4} {
			x := math.Pi * c.d * c.e / 1000 * perRadian * k * zero
			assert.InDelta(t, 2*math.J1(x)/x, real(at(p, mono(555), 0, k*zero)), 0.012, "%v mm %v D", c.d, c.e)
		}
		assert.Positive(t, real(at(p, mono(555), 0, 0.95*zero)))
		assert.Negative(t, real(at(p, mono(555), 0, 1.06*zero)))
	}
}

// The definition: the pupil function times its shifted conjugate, summed over
// a fine grid in the examiner's coordinates, which run against the patient's.
func bruteForce(p Pupil, nm, angle, f float64) complex128 {
	r, um := p.Diameter/2, nm/1000
	rad := (angle + 90) * math.Pi / 180
	shift := um / 1000 * f * perRadian
	sx, sy := -shift*math.Cos(rad), shift*math.Sin(rad)
	function := func(x, y float64) complex128 {
		if math.Hypot(x, y) > r {
			return 0
		}
		w := (p.Residual.M + eye.ChromaticFocus(nm)) * (x*x + y*y) / 2
		w += p.Residual.J0*(x*x-y*y)/2 + p.Residual.J45*x*y
		for j, c := range p.Zernike {
			if c != 0 {
				w += c * eye.Zernike(j, math.Hypot(x, y)/r, math.Atan2(y, x))
			}
		}
		a := math.Pow(10, -p.Rho/2*((x-p.X0)*(x-p.X0)+(y-p.Y0)*(y-p.Y0)))
		return cmplx.Rect(a, 2*math.Pi*w/um)
	}
	var sum complex128
	var energy float64
	const n = 160
	for i := range n {
		for j := range n {
			x, y := (2*float64(i)+1-n)/n*r, (2*float64(j)+1-n)/n*r
			one := function(x, y)
			energy += real(one * cmplx.Conj(one))
			sum += function(x-sx/2, y-sy/2) * cmplx.Conj(function(x+sx/2, y+sy/2))
		}
	}
	return sum / complex(energy, 0)
}

func TestSectionIsTheOverlapOfThePupilWithItself(t *testing.T) {
	p := typical(5)
	p.Residual = optics.Power{M: 0.4, J0: 0.3, J45: -0.5}
	p.Zernike[8], p.Zernike[7] = 0.2, -0.1 // coma, so that the phase has a sense
	for _, c := range []struct{ angle, f float64 }{{0, 6}, {35, 10}, {90, 14}, {150, 3}} {
		got, want := at(p, mono(520), c.angle, c.f), bruteForce(p, 520, c.angle, c.f)
		assert.LessOrEqual(t, cmplx.Abs(got-want), 3e-3, "%v: %.4f, want %.4f", c, got, want)
		assert.Greater(t, math.Abs(imag(want)), 0.003, "no test of the sense")
	}
}

// The nodes are enough: with more, nothing changes.
func TestSectionIsConverged(t *testing.T) {
	p := typical(6)
	for i := range 60 {
		x := float64(i)
		p.Residual = optics.Power{M: 3 * math.Sin(x), J0: 1.5 * math.Sin(1.7*x), J45: 1.5 * math.Sin(2.3*x)}
		angle, f := 37*x, 1+55*math.Abs(math.Sin(3*x))
		c := newCut(p.seen(), angle)
		want := c.overlap(f*perRadian/1000, 555) / complex(c.energy, 0)
		c.leastUU, c.mostUU, c.mostUV = 2*c.leastUU-5, 2*c.mostUU+5, 2*c.mostUV+5 // asks for many more
		got := c.overlap(f*perRadian/1000, 555) / complex(c.energy, 0)
		require.LessOrEqual(t, cmplx.Abs(got-want), 2e-4, "%+v at %v", p.Residual, f)
	}
}

// fogged is the eye -1.00 / -2.00 x axis behind -0.50: the residual is +0.50
// along the axis and +2.50 across it, both lines in front of the retina.
func fogged(axis float64) Pupil {
	needs := optics.Rx{Sphere: -1, Cyl: -2, Axis: axis}.Power()
	return Pupil{Diameter: 4, Residual: optics.Sphere(-0.5).Sub(needs)}
}

// lineOfHour is the angle at which the patient sees the line through a clock
// hour.
func lineOfHour(hour int) float64 { return math.Mod(float64(90-30*hour+720), 180) }

// The rule of 30 (common practice): the lower hour of the clearest line times
// 30 is the axis of the minus cylinder.
func TestSharpestLineIsTheClockHourOfTheAxis(t *testing.T) {
	for hour := 1; hour <= 12; hour++ {
		p := fogged(optics.Axis(30 * float64(hour)))
		best, top := -1.0, 0.0
		for a := 0.0; a < 180; a += 10 {
			if m := cmplx.Abs(at(p, White(), a, 8)); m > top {
				best, top = a, m
			}
		}
		assert.Equal(t, lineOfHour(hour), best, "hour %d", hour)
	}
}

func TestSectionOfVeilAndZero(t *testing.T) {
	p := inFocus(3, 555)
	clear := at(p, mono(555), 0, 10)
	p.Veil = 0.25
	assert.Equal(t, complex(1, 0), at(p, mono(555), 0, 0))
	assert.InDelta(t, 0.75*real(clear), real(at(p, mono(555), 0, 10)), 1e-12)
	require.Panics(t, func() { at(Pupil{}, White(), 0, 1) })
}

func TestSectionFillsWhatItIsGiven(t *testing.T) {
	dst := make([]complex128, 5)
	got := Section(inFocus(3, 555), mono(555), 0, []float64{0, 10, -10}, dst)
	require.Len(t, got, 3)
	assert.Same(t, &dst[0], &got[0])
	assert.InDelta(t, real(got[1]), real(got[2]), 1e-12)
}
