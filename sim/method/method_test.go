package method_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/optics"
)

// The numbers beside where they come from, so that none is changed by accident.
func TestTheFactsAgreeWithTheirSources(t *testing.T) {
	for _, c := range []struct {
		what        string
		have, wants float64
		source      string
	}{
		{"usual fog", method.UsualFog, 0.50, "laboratory sheet OPT2083, laboratory 10: minus cylinder out, +0.50 added"},
		{"least fog", method.LeastFog, 0.25, "common practice (no source)"},
		{"most fog", method.MostFog, 1.00, "common practice (no source)"},
		{"fog that relaxes", method.RelaxingFog, 2.00, "Optom Vis Sci 1987, sixteen people: relaxed up to about 2 D"},
		{"a little more plus", method.LittlePlus, 0.50, "taught for the blocks; common practice (no source) for the lines"},
		{"the least of it", method.LeastLittlePlus, 0.25, "common practice (no source)"},
		{"the most of it", method.MostLittlePlus, 0.75, "the project's choice"},
		{"step of the sphere", method.SphereStep, 0.25, "Musa and Zeppieri, Fogging, StatPearls; taught so"},
		{"step of the cylinder", method.CylinderStep, 0.25, "a text of clinical procedures, clock dial: -0.25 at a time"},
		{"step of the arrow", method.ArrowStep, 10, "published description of the chart: lines every 10 degrees"},
		{"fine step of the arrow", method.FineArrowStep, 5, "common practice (no source)"},
		{"strong cylinder", method.StrongCylinder, 1.50, "the project's choice; ANSI Z80.1-2015, axis: 2 degrees above 1.50 D"},
		{"widest range of alike limbs", method.WidestAlike, 60, "the project's choice"},
		{"faintest cylinder", method.FaintestCylinder, 0.50, "the project's choice; Villegas and others (2014)"},
		{"limit of red and green", method.DuochromeLimit, 0.18, "an encyclopedia: not below 6/9"},
		{"its row", method.DuochromeRow, 0.20, "the same, on a chart in tenths"},
		{"blur test", method.BlurTest, 1.00, "Elliott and Cox (2004), Optometry in Practice 5(4)"},
		{"loss in it", method.BlurTestLoss, 0.15, "the project's choice"},
		{"gain by a quarter, with the word", method.GainWithWord, 0.02, "the project's choice: a letter of a row of five"},
		{"gain by a quarter alone", method.GainAlone, 0.06, "the project's choice: three letters"},
	} {
		assert.Equal(t, c.wants, c.have, "%s: %s", c.what, c.source)
	}
}

// What the facts have to do with each other, and with what else is known.
func TestTheFactsGoTogether(t *testing.T) {
	// Sphere S with minus cylinder C, taken out and fogged by F: the back line
	// stands F in front. An estimate of C that is 1.00 D too high moves the best
	// sphere, and the line, by half of that.
	assert.Equal(t, method.MostFog, method.UsualFog+1.00/2)
	assert.Less(t, method.LeastFog, method.UsualFog)
	assert.InDelta(t, math.Log10(9.0/6), method.DuochromeLimit, 0.005, "6/9")
	assert.InDelta(t, math.Ceil(10*method.DuochromeLimit)/10, method.DuochromeRow, 1e-12)
	assert.Less(t, method.BlurTestLoss, 0.20, "two lines")
	const letter = 0.10 / 5 // a row of five letters is 0.10 logMAR (Bailey and Lovie 1976)
	assert.InDelta(t, letter, method.GainWithWord, 1e-12, "a letter")
	assert.InDelta(t, 3*letter, method.GainAlone, 1e-12, "three letters")
	lines := chart.Named(chart.Fan).Marks(chart.Hung{})
	turn := math.Abs(optics.AxisDifference(lines[0].Angle, lines[1].Angle))
	assert.InDelta(t, method.ArrowStep, turn, 1e-9, "from line to line of the fan")
	var set optics.TrialSet
	assert.Contains(t, set.Spheres(), method.SphereStep)
	assert.Contains(t, set.Cylinders(), -method.CylinderStep)
}

// The turn that leaves 0.25 D: computed from 2 C sin t (Torgersen (2006), on
// ANSI Z80.1) and rounded to a tenth of a degree.
func TestAxisTolerance(t *testing.T) {
	for _, c := range []struct{ cylinder, degrees float64 }{
		{0.25, 30}, {0.50, 14.5}, {0.75, 9.6}, {1.00, 7.2}, {1.50, 4.8}, {2.00, 3.6}, {3.00, 2.4},
	} {
		assert.InDelta(t, c.degrees, method.AxisTolerance(c.cylinder), 0.05, "%v", c.cylinder)
		assert.Equal(t, method.AxisTolerance(c.cylinder), method.AxisTolerance(-c.cylinder))
	}
	assert.Equal(t, 90.0, method.AxisTolerance(0.12))
	assert.Equal(t, 90.0, method.AxisTolerance(0))
}

// The middle of a group of lines is taken in double angle: hours 12 to 6 and 1
// to 7 give 15 (the rule of 30, common practice).
func TestMiddle(t *testing.T) {
	for _, c := range []struct {
		lines []float64
		label float64
		ok    bool
	}{
		{[]float64{90, 60}, 15, true},
		{[]float64{100, 90, 80}, 180, true},
		{[]float64{30}, 60, true},
		{[]float64{90, 0}, 0, false},
		{nil, 0, false},
	} {
		label, ok := method.Middle(c.lines)
		assert.Equal(t, c.ok, ok, "%v", c.lines)
		assert.InDelta(t, c.label, label, 1e-9, "%v", c.lines)
	}
}

// Two neighbouring hours are equally clear: from 1 to 7 and from 2 to 8 o'clock,
// which the patient sees at 60 and 30 degrees.
func ExampleMiddle() {
	axis, ok := method.Middle([]float64{60, 30})
	fmt.Printf("%.0f %t\n", axis, ok)
	// Output: 45 true
}
