package retina

import (
	"math"
	"testing"

	"conoid/sim/optics"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func psf(t *testing.T, g Grid, p Pupil, l Light) *Image {
	t.Helper()
	im, err := New(g).PSF(p, l)
	require.NoError(t, err)
	return im
}

// sum adds up the light of the samples whose place in minutes of arc a
// condition picks.
func sum(im *Image, pick func(x, y float64) bool) (s float64) {
	for j := range im.N {
		for i := range im.N {
			if pick(float64(i-im.N/2)*im.Pitch, float64(im.N/2-j)*im.Pitch) {
				s += float64(im.Y[j*im.N+i])
			}
		}
	}
	return s
}

func TestPSFKeepsTheLight(t *testing.T) {
	veiled := typical(6)
	veiled.Residual, veiled.Veil = optics.Power{M: 1, J0: 0.5, J45: 0.5}, 0.2
	for name, p := range map[string]Pupil{"sharp": inFocus(3, 555), "fogged": fogged(60), "veiled": veiled, "pinhole": inFocus(1.2, 555)} {
		all := sum(psf(t, Standard(), p, White()), func(x, y float64) bool { return true })
		assert.InDelta(t, 1, all, 2e-5, name)
	}
}

// fine is a grid that holds all the frequencies of small pupils.
var fine = Grid{512, 0.1}

// Born and Wolf, Principles of Optics, ch. 8 and 9 (from memory): without
// other aberrations the light on the axis falls as sinc^2 of W20 / lambda,
// W20 = E r^2 / 2, when the eye is E out of focus.
func TestLightOnTheAxisOfADefocusedEye(t *testing.T) {
	skipUnderRace(t)
	const d, nm = 3.0, 555.0
	centre := func(waves float64) float64 {
		p := inFocus(d, nm)
		p.Residual.M += waves * nm / 1000 * 2 / (d / 2 * d / 2)
		im := psf(t, fine, p, mono(nm))
		return float64(im.Y[im.N/2*im.N+im.N/2])
	}
	sharp := centre(0)
	for waves, want := range map[float64]float64{0.125: 0.94964, 0.25: 0.81057, 0.5: 0.40528, 1: 0, 1.5: 0.04503, 2: 0} {
		assert.InDelta(t, want, centre(waves)/sharp, 3e-3, "%v waves", waves)
	}
}

// The first dark ring is 1.2197 lambda/D from the middle: 0.7757' at 3 mm and
// 555 nm (Born and Wolf).
func TestAiryDisc(t *testing.T) {
	im := psf(t, fine, inFocus(3, 555), mono(555))
	row := im.Y[im.N/2*im.N+im.N/2:]
	k := 1
	for row[k+1] < row[k] {
		k++
	}
	assert.InDelta(t, 0.7757, float64(k)*im.Pitch, im.Pitch/2+0.01)
	assert.InDelta(t, 0, row[k]/row[0], 2e-3)
}

// Thibos and Thibos (2011): a blur disc of 13.751' for 1 D and 4 mm.
func TestBlurDisc(t *testing.T) {
	p := inFocus(4, 555)
	p.Residual.M++
	im := psf(t, Standard(), p, mono(555))
	const radius = 13.751 / 2
	inside := sum(im, func(x, y float64) bool { return math.Hypot(x, y) < radius+0.5 })
	assert.Greater(t, inside, 0.93)
	assert.InDelta(t, 0.25, sum(im, func(x, y float64) bool { return math.Hypot(x, y) < radius/2 }), 0.02)
}

// A residual that is all in the vertical meridian (plano / -1.00 x 180 not
// corrected) spreads a point vertically: vertical lines stay sharp.
func TestVerticalErrorSpreadsVertically(t *testing.T) {
	p := inFocus(4, 555)
	p.Residual = p.Residual.Add(optics.Power{M: 0.5, J0: -0.5})
	im := psf(t, Standard(), p, mono(555))
	assert.Greater(t, sum(im, func(x, y float64) bool { return math.Abs(x) < 1 && math.Abs(y) < 8 }), 0.8)
	assert.Less(t, sum(im, func(x, y float64) bool { return math.Abs(y) < 1 && math.Abs(x) < 8 }), 0.4)
}

// The focal line of a residual whose power lies across 30 (as the examiner sees
// it) lies along 30, which the patient sees at 150. A mirrored axis fails.
func TestObliqueFocalLineSeenByThePatient(t *testing.T) {
	p := inFocus(4, 555)
	sin, cos := math.Sincos(2 * 120 * math.Pi / 180)
	p.Residual = p.Residual.Add(optics.Power{M: 0.75, J0: 0.75 * cos, J45: 0.75 * sin})
	im := psf(t, Standard(), p, mono(555))
	along := func(angle float64) float64 {
		s, c := math.Sincos(angle * math.Pi / 180)
		return sum(im, func(x, y float64) bool { return math.Abs(c*y-s*x) < 1 })
	}
	// The power lies along 120, so that light spreads along 120: seen at 60.
	assert.Greater(t, along(60), 0.8)
	assert.Less(t, along(120), 0.3)
}

// A ray through a place of the pupil is seen in the direction of the slope of
// the wavefront there. Over the pupil the slope of horizontal coma averages
// sqrt(8) c/r towards +x, in the examiner's view: to the patient's left.
func TestSenseOfComa(t *testing.T) {
	const c, r = 0.3, 2.0
	horizontal := inFocus(2*r, 555)
	horizontal.Zernike = coefficients(map[int]float64{8: c})
	im := psf(t, Standard(), horizontal, mono(555))
	left := sum(im, func(x, y float64) bool { return x < 0 })
	assert.Greater(t, left, 0.55)
	vertical := inFocus(2*r, 555)
	vertical.Zernike = coefficients(map[int]float64{7: c})
	im = psf(t, Standard(), vertical, mono(555))
	assert.Greater(t, sum(im, func(x, y float64) bool { return y > 0 }), 0.55)

	// The phase at a low frequency says how far: bars at -90 count towards +x.
	const f = 0.2
	shift := -math.Atan2(imag(at(horizontal, mono(555), -90, f)), real(at(horizontal, mono(555), -90, f))) / (2 * math.Pi * f) / perRadian * 1000
	assert.InDelta(t, -math.Sqrt(8)*c/r, shift, 0.01, "milliradians")
}

// An eye with its own correction in the right place is in focus.
func TestExactCorrectionReachesTheDiffractionLimit(t *testing.T) {
	frame := optics.NewFrame(0.012)
	frame.Lenses[optics.Back] = optics.SphereOf(-4)
	frame.Lenses[optics.Front1] = optics.CylinderOf(-2, 35)
	needs := frame.AtCornea(6)
	p := inFocus(3, 555)
	p.Residual = p.Residual.Add(frame.AtCornea(6).Sub(needs))
	o, err := New(Standard()).TransferTo(p, mono(555), 80)
	require.NoError(t, err)
	for s, want := range diffraction {
		f := s * cutoff(3, 555)
		if f > 80 {
			continue
		}
		assert.InDelta(t, want, real(o.At(f, 0)), 3e-3, "s = %v", s)
		assert.InDelta(t, want, real(o.At(f*0.6, f*0.8)), 3e-3, "s = %v", s)
	}
}
