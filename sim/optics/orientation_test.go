package optics_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/optics"
)

// clockDial is the clock dial as it hangs before the patient: the line between
// two hours, its angle counter-clockwise from the patient's right, its axis as
// an examiner sees it who faces the patient (ISO 8429), and the axis of the
// minus cylinder that is wanted when that line is the clearest, 30 times the
// lower hour (the rule of 30, common practice).
var clockDial = []struct {
	hours               string
	seen, facing, label float64
}{
	{"1-7", 60, 120, 30},
	{"2-8", 30, 150, 60},
	{"3-9", 180, 180, 90},
	{"4-10", 150, 30, 120},
	{"5-11", 120, 60, 150},
	{"6-12", 90, 90, 180},
}

func TestClockDial(t *testing.T) {
	for _, c := range clockDial {
		assert.Equal(t, c.facing, optics.PatientAngle(c.seen), c.hours)
		assert.Equal(t, c.seen, optics.PatientAngle(c.facing), c.hours)
		assert.Equal(t, c.label, optics.Axis(c.facing+90), c.hours)
	}
}

// An eye whose error is a minus cylinder at 30 times the hour, fogged, must
// see the line of that hour best: the line that lies along the back focal
// line, at right angles to the meridian with the least power in front of the
// retina. This goes through a real frame and through the mirror.
func TestFoggedEyeSeesTheLineOfItsHour(t *testing.T) {
	for _, c := range clockDial {
		for _, cyl := range []float64{-0.5, -2, -4} {
			eye := optics.Required(optics.Rx{-1, cyl, c.label}, 0.012, 6)
			f := optics.NewFrame(0.012)
			f.Lenses[optics.Back] = optics.SphereOf(-0.5)
			residual := f.AtCornea(6).Sub(eye).SeenByPatient()

			best, least := 0.0, 1e9
			for meridian := 1.0; meridian <= 180; meridian++ {
				if p := residual.At(meridian); p < least {
					best, least = meridian, p
				}
			}
			require.Greater(t, least, 0.0, "both focal lines must lie in front of the retina")
			assert.Equal(t, c.seen, optics.Axis(best+90), "%s o'clock, cylinder %g", c.hours, cyl)
		}
	}
}

func TestTheMirrorTurnsAnglesAndPowersAlike(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, deg := drawPower(t), drawAxis(t)
		assert.InDelta(t, p.At(deg), p.SeenByPatient().At(optics.PatientAngle(deg)), 1e-9)
		assert.Equal(t, p, p.SeenByPatient().SeenByPatient())
		assert.InDelta(t, 0, optics.AxisDifference(deg, optics.PatientAngle(optics.PatientAngle(deg))), 1e-9)
	})
}

// Up stays up and level stays level, but a line that leans to the examiner's
// right leans to the patient's left.
func TestTheMirrorKeepsUprightAndLevel(t *testing.T) {
	assert.Equal(t, 90.0, optics.PatientAngle(90))
	assert.Equal(t, 180.0, optics.PatientAngle(180))
	assert.Equal(t, 145.0, optics.PatientAngle(35))
	seen := optics.Rx{-2, -1, 35}.Power().SeenByPatient().Rx()
	assert.Equal(t, optics.Rx{-2, -1, 145}, seen)
}

func TestAxisFolds(t *testing.T) {
	for in, want := range map[float64]float64{
		0: 180, 180: 180, 181: 1, 360: 180, -10: 170, -180: 180, 1: 1, 179.5: 179.5, 725: 5,
	} {
		assert.Equal(t, want, optics.Axis(in), "%g", in)
	}
}

func TestMeanAxis(t *testing.T) {
	for _, c := range []struct {
		axes []float64
		want float64
	}{
		{[]float64{170, 10}, 180},
		{[]float64{180, 30}, 15}, // the hours 12-6 and 1-7 equally clear (rule of 30)
		{[]float64{30, 60}, 45},  // hour and a half: 1.5 times 30
		{[]float64{150, 180}, 165},
		{[]float64{35}, 35},
		{[]float64{85, 90, 95}, 90},
	} {
		got, ok := optics.MeanAxis(c.axes...)
		assert.True(t, ok)
		assert.InDelta(t, c.want, got, 1e-9, "%v", c.axes)
	}
	for _, axes := range [][]float64{nil, {90, 180}, {30, 90, 150}} {
		_, ok := optics.MeanAxis(axes...)
		assert.False(t, ok, "%v", axes)
	}
}

func TestMeanAxisTurnsWithItsAxes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		middle, turn := drawAxis(t), drawAxis(t)
		// Axes within 40 degrees of a middle have a mean far from cancelling.
		var axes, turned []float64
		for _, off := range rapid.SliceOfN(rapid.Float64Range(-40, 40), 1, 8).Draw(t, "off") {
			axes = append(axes, optics.Axis(middle+off))
			turned = append(turned, optics.Axis(middle+off+turn))
		}
		a, ok1 := optics.MeanAxis(axes...)
		b, ok2 := optics.MeanAxis(turned...)
		assert.True(t, ok1 && ok2)
		assert.InDelta(t, 0, optics.AxisDifference(a+turn, b), 1e-6)
	})
}

func TestAxisDifference(t *testing.T) {
	assert.Equal(t, 20.0, optics.AxisDifference(170, 10))
	assert.Equal(t, -20.0, optics.AxisDifference(10, 170))
	assert.Equal(t, 0.0, optics.AxisDifference(180, 0))
	assert.Equal(t, 90.0, optics.AxisDifference(45, 135))
	assert.Equal(t, 90.0, optics.AxisDifference(135, 45))
}
