package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/scoring/evidence"
	"conoid/sim/patient"
)

// A band of 2.00 D is 5 degrees; of 1.00 D it is the turn that leaves a quarter, 7.2.
func TestAxisKept(t *testing.T) {
	s := cases.DefaultScheme().Claims
	for _, c := range []struct{ off, cyl, want float64 }{
		{0, -2, 1}, {5, -2, 1}, {5.1, -2, 0.5}, {10, -2, 0.5}, {10.1, -2, 0}, {90, -2, 0},
		{7.1, -1, 1}, {7.3, -1, 0.5}, {14.3, -1, 0.5}, {14.4, -1, 0},
		{15, -0.25, 1}, {15.1, -0.25, 0.5}, {30, -0.25, 0.5}, {30.1, -0.25, 0},
	} {
		assert.Equal(t, c.want, axisKept(c.off, c.cyl, s), "%+v", c)
	}
}

// Quarters: all is kept to 0.25 D, 60 % to 0.50 D, 25 % to 0.75 D. Too much minus is a band
// stricter from the second on.
func TestPowerKept(t *testing.T) {
	s := cases.DefaultScheme().Claims
	for _, c := range []struct{ off, signed, want float64 }{
		{0, 0, 1}, {0.25, 0, 1}, {0.26, 0, 0.60}, {0.50, 0, 0.60}, {0.51, 0, 0.25}, {0.75, 0, 0.25}, {0.76, 0, 0}, {3, 0, 0},
		{0.25, 0.25, 1}, {0.26, 0.26, 0.60}, {0.51, 0.51, 0.25}, {0.76, 0.76, 0},
		{0.25, -0.25, 1}, {0.26, -0.26, 0.25}, {0.50, -0.50, 0.25}, {0.51, -0.51, 0}, {0.76, -0.76, 0},
	} {
		assert.Equal(t, c.want, powerKept(c.off, c.signed, s), "%+v", c)
	}
}

// How near the three claims are to -1.00/-2.00x30. The spherical equivalent -2.00 is
// that of -1.25/-1.50 as well.
func TestAccuracies(t *testing.T) {
	for _, c := range []struct {
		stated                 string
		axis, cylinder, sphere float64
	}{
		{"-1.00/-2.00x30", 1, 1, 1},
		{"-1.25/-1.50x30", 1, 0.60, 1},
		{"-1.25/-1.50x36", 0.5, 0.60, 1},
		{"-0.75/-2.00x24", 0.5, 1, 1},
		{"-0.50/-2.00x41", 0, 1, 0.60},
		{"-1.50/-2.00x30", 1, 1, 0.25},
		{"-0.25/-2.75x30", 1, 0.25, 0.60},
		{"-1.00 DS", 0, 0, 0},
	} {
		all := told(t, "-1.00/-2.00x30", c.stated).claimed().claims
		assert.Equal(t, []float64{c.axis, c.cylinder, c.sphere}, []float64{all[0].Accuracy, all[1].Accuracy, all[2].Accuracy}, c.stated)
	}
	// Where the arrow balances elsewhere, the nearer of both counts.
	tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x41")
	tr.arrowBalance = 40
	assert.Equal(t, 1.0, tr.claimed().claims[0].Accuracy)
}

// Who follows an answer that was chance loses half of the claim at most. The letters are
// chance when they are more than 0.06 from what is expected.
func TestMisled(t *testing.T) {
	chance, sober := noiseless(patient.Answer{Kind: patient.Left}), noiseless(patient.Answer{Kind: patient.Right})
	for _, c := range []struct {
		change   func(*moment)
		stated   string
		accuracy float64
		lucky    bool
	}{
		{chance, "x41", 0.5, true},
		{sober, "x41", 0, false},
		{chance, "x36", 0.5, false}, // half of it is kept anyhow
	} {
		axis := int(rx(t, "-1.00/-2.00"+c.stated).Axis)
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00"+c.stated, dial(axis), limbs(axis-5, patient.Left), limbs(axis+5, patient.Right, c.change)).claimed()
		require.Equal(t, supported, tr.claims[0].Support)
		assert.Equal(t, c.accuracy, tr.claims[0].Accuracy, "%+v", c)
		assert.Equal(t, c.lucky, tr.claims[0].Lucky)
	}
	for keeps, lucky := range map[float64]bool{49: true, 50: false} {
		s := cases.DefaultScheme().Claims
		s.AxisKeeps = keeps
		all := claimsOf(told(t, "-1.00/-2.00x30", "-1.00/-2.00x36", dial(36), limbs(31, patient.Left), limbs(41, patient.Right, chance)).trace, s)
		assert.Equal(t, lucky, all[0].Lucky, "%v", keeps)
		assert.Equal(t, 0.5, all[0].Accuracy)
	}
	for off, want := range map[float64]bool{0.06: false, 0.061: true, -0.061: true} {
		expected := 0.20 - off
		m := answered(patient.ReadLetters, 0.20, func(m *moment) { m.Expected = &expected })
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", m)
		k := Claim{Heard: []Heard{{}}}
		k.Heard[0].Event = 1
		assert.Equal(t, want, tr.misled(&k), "%v", off)
	}
}

// What is contradicted by a step is weak when half of the answers from it to the fit
// were chance. The arrow at 20 and 40 comes to 30: 40 is a step away, and answers count
// that lie no more than 5 degrees out of the way from 30 to 40; of the blocks, half a step.
func TestExcused(t *testing.T) {
	const l, r = patient.Left, patient.Right
	chance := noiseless(patient.Answer{Kind: patient.Alike})
	for _, c := range []struct {
		what string
		all  []moment
		want evidence.Support
	}{
		{"none of one", []moment{limbs(20, l, chance), limbs(40, r)}, contradicted},
		{"one of one", []moment{limbs(20, l), limbs(40, r, chance)}, weak},
		{"one of two", []moment{limbs(20, l), limbs(40, r), limbs(40, r, chance)}, weak},
		{"one of three", []moment{limbs(20, l), limbs(40, r), limbs(40, r, chance), limbs(40, r)}, contradicted},
		{"another 5 degrees beyond", []moment{limbs(15, l), limbs(20, l), limbs(40, r, chance), limbs(45, r), limbs(45, r)}, contradicted},
		{"and 6", []moment{limbs(14, l), limbs(20, l), limbs(40, r, chance), limbs(46, r), limbs(46, r)}, weak},
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x40", append([]moment{dial(30)}, c.all...)...)
		for i, m := range tr.moments {
			if m.Action.Question == patient.WhichLines {
				tr.moments[i].fellow = true // the dial is no answer between; the label is not needed
			}
		}
		assert.Equal(t, c.want, tr.axisClaim().Support, c.what)
	}
	blocksAt := func(cyl float64, k patient.Kind, changes ...func(*moment)) Heard {
		return Heard{Vote: evidence.Vote{At: -cyl, Event: map[bool]int{true: 1, false: 2}[len(changes) > 0]}}
	}
	tr := told(t, "-1.00/-2.00x30", "", blocks(-2, 30, patient.Perpendicular, chance), blocks(-2, 30, patient.Perpendicular))
	stated, fit := 2.0, 1.75
	for _, c := range []struct {
		what string
		all  []Heard
		want evidence.Support
	}{
		{"chance where it was stated", []Heard{blocksAt(-2, "", chance)}, weak},
		{"half a step beside it", []Heard{blocksAt(-2, "", chance), blocksAt(-2.125, ""), blocksAt(-2.125, "")}, contradicted},
		{"more beside it", []Heard{blocksAt(-2, "", chance), blocksAt(-2.13, ""), blocksAt(-2.13, "")}, weak},
		{"half a step beside the fit", []Heard{blocksAt(-2, "", chance), blocksAt(-1.625, ""), blocksAt(-1.625, "")}, contradicted},
		{"more beside the fit", []Heard{blocksAt(-2, "", chance), blocksAt(-1.62, ""), blocksAt(-1.62, "")}, weak},
		{"nothing between", []Heard{blocksAt(-3, "", chance)}, contradicted},
	} {
		k := Claim{Name: cases.CylinderClaim, Stated: &stated, Fit: &fit, Heard: c.all}
		assert.Equal(t, c.want, tr.excused(&k, contradicted, true), c.what)
		assert.Equal(t, contradicted, tr.excused(&k, contradicted, false), "farther than a step")
		assert.Equal(t, none, tr.excused(&k, none, true))
	}
}

// Whose sphere is far off for want of a cylinder that nothing bears out has no luck to plead.
func TestTheCylinderTakesTheSphereAlong(t *testing.T) {
	chance := noiseless(patient.Answer{Kind: patient.Alike})
	for cyl, lucky := range map[string]bool{"-2.00": true, "-0.50": false} {
		found := rx(t, "-1.75/"+cyl+"x30")
		through := func(d float64, k patient.Kind, changes ...func(*moment)) moment {
			return answered(patient.WithLens, k, append([]func(*moment){wearing(found.Sphere+d-0.125, found.Cyl, 30), holding(0.25)}, changes...)...)
		}
		tr := told(t, "-1.00/-2.00x30", "-1.75/"+cyl+"x30",
			blocks(-1.75, 30, patient.Parallel), blocks(-2, 30, patient.Alike), blocks(-2.25, 30, patient.Perpendicular),
			answered(patient.ReadLetters, 0.1, wearing(found.Sphere, found.Cyl, 30)),
			through(-0.125, patient.Same), through(0.125, patient.Worse, chance))
		sphere := claimsOf(tr.trace, cases.DefaultScheme().Claims)[2]
		require.Equal(t, supported, sphere.Support)
		assert.Equal(t, lucky, sphere.Lucky, cyl)
	}
}
