package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Looked through is what wears the stated cylinder, with up to an eighth of crossed
// cylinder and a sixteenth besides; at the end point it is within an eighth of a dioptre, and +1.00
// is shown with a quarter and a sixteenth less or more.
func TestLookedThrough(t *testing.T) {
	for _, c := range []struct {
		sphere, held         float64
		cyl                  float64
		atEnd, more, plusOne bool
	}{
		{-1, 0, -2, true, false, false},
		{-1.12, 0, -2, true, false, false},
		{-1.13, 0, -2, false, false, false},
		{-0.88, 0, -2, true, false, false},
		{-0.87, 0, -2, false, true, false},
		{-1, 0.56, -2, false, true, false},
		{-1, 0.57, -2, false, false, false},
		{-1, 0.6875, -2, false, false, true},
		{-1, 0.68, -2, false, false, false},
		{-1, 1.3125, -2, false, false, true},
		{-1, 1.32, -2, false, false, false},
		{-1, 0, -2.37, false, false, false}, // 0.185 crossed, and the sphere with it
		{-0.8125, 0, -2.375, true, false, false},
		{-0.81, 0, -2.38, false, false, false},
	} {
		m := answered(patient.ReadLetters, 0.0, wearing(c.sphere, c.cyl, 30), holding(c.held))
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", m)
		w := sphereWork{tr.trace}
		assert.Equal(t, c.atEnd, tr.atEnd(&tr.moments[1]), "%+v", c)
		_, lacks := w.lookAtMorePlus()
		assert.Equal(t, c.more, !lacks, "%+v", c)
		_, lacks = w.lookAtPlusOne()
		assert.Equal(t, c.plusOne, !lacks, "%+v", c)
	}
}

// More than 1.00 D and a sixteenth of error is blur for the colours, and they are asked for
// where 0.20 logMAR is read.
func TestColours(t *testing.T) {
	for blur, id := range map[float64]string{1.06: "", 1.07: "duochrome-in-blur"} {
		m := answered(patient.WhichColour, patient.RedClearer, func(m *moment) { m.residual = optics.Power{M: blur} })
		f, lacks := sphereWork{told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", m).trace}.lookAtColours()
		assert.Equal(t, id, f.ID)
		assert.Equal(t, id != "", lacks)
	}
	for acuity, want := range map[float64]bool{0.20: true, 0.21: false} {
		_, lacks := sphereWork{told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", answered(patient.ReadLetters, acuity)).trace}.lookAtColours()
		assert.Equal(t, want, lacks)
	}
}

// What the answers say of the sphere that was stated, by how much more plus than they
// have it: a lens for the working distance within 0.375 D, the fog that was worked in, or too much.
func TestSphereResult(t *testing.T) {
	work := dial(30, wearing(-0.5, 0, 0))
	for _, c := range []struct {
		off     float64
		working float64 // left in the objective result
		fogged  bool
		id      string
	}{
		{0.25, 0, false, ""}, {0.26, 0, false, "too-much-plus"}, {-0.25, 0, false, ""}, {-0.26, 0, false, "too-much-minus"},
		{1.125, 1.5, false, "working-lens-left-in"}, {1.12, 1.5, false, "too-much-plus"}, {1.5, 1.125, false, "working-lens-left-in"},
		{1.5, 1.12, false, "too-much-plus"}, {2.375, 2, false, "working-lens-left-in"}, {2.38, 2, false, "too-much-plus"},
		{0.50, 1.5, false, "too-much-plus"}, {0.26, 0, true, "fog-left-in"}, {0.25, 0, true, ""},
	} {
		var all []moment
		if c.fogged {
			all = append(all, work)
		}
		tr := told(t, "-1.00/-2.00x30", "-0.50/-2.00x30", all...).claimed()
		fit := -c.off
		tr.claim("sphere").Fit = &fit
		tr.objective = optics.Rx{Sphere: tr.truth.Sphere + c.working}
		id := ""
		for _, f := range (sphereWork{tr.trace}).sphereResult() {
			id = f.ID
		}
		assert.Equal(t, c.id, id, "%+v", c)
	}
}

// Plus was added for the fog, the dial was asked about through it, and it was stated:
// with nothing asked about less, that is the fog, wherever the truth is.
func TestFogThatWasNeverTakenOff(t *testing.T) {
	for _, c := range []struct {
		objective, worked float64
		want              string
	}{{-1, -0.5, "fog-left-in"}, {-0.5, -0.5, ""}, {-1, -0.25, ""}} {
		tr := told(t, "-0.50/-2.00x30", "-0.50/-2.00x30", dial(30, wearing(c.worked, 0, 0)), answered(patient.ReadLetters, 0.1, wearing(-0.5, -2, 30))).claimed()
		tr.objective = optics.Rx{Sphere: c.objective}
		id := ""
		for _, f := range (sphereWork{tr.trace}).sphereResult() {
			id = f.ID
		}
		assert.Equal(t, c.want, id, "%+v", c)
	}
}
