package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// A reversal is the bars across the arrow clearer, and not so with a weaker
// cylinder.
func TestBracketed(t *testing.T) {
	const p, x, a = patient.Parallel, patient.Perpendicular, patient.Alike
	for _, c := range []struct {
		name    string
		answers map[patient.Kind][]float64
		want    bool
	}{
		{"nothing", nil, false},
		{"a reversal", map[patient.Kind][]float64{p: {-1}, x: {-1.25}}, true},
		{"alike, then reversed", map[patient.Kind][]float64{a: {-1}, x: {-1.25}}, true},
		{"too weak all along", map[patient.Kind][]float64{p: {-1.5, -1.25, -1}}, false},
		{"alike to the end", map[patient.Kind][]float64{p: {-1}, a: {-1.5, -1.25}}, false},
		{"too strong all along", map[patient.Kind][]float64{x: {-1.5, -1.25}}, false},
		{"even the weakest reverses", map[patient.Kind][]float64{x: {-0.25}}, true},
		{"the wrong way round", map[patient.Kind][]float64{p: {-1.5}, x: {-1.25}}, false},
	} {
		assert.Equal(t, c.want, bracketed(c.answers), c.name)
	}
}

// A leap leaves out a cylinder of the set, which has quarters to 4.00 and halves
// beyond.
func TestWidestLeap(t *testing.T) {
	tr := &trace{setup: sitting.Setup{}}
	assert.Zero(t, blockWork{tr}.widestLeap(nil))
	assert.Zero(t, blockWork{tr}.widestLeap([]float64{-1.25, -1, -0.75}))
	assert.Equal(t, 0.5, blockWork{tr}.widestLeap([]float64{-1.5, -1, -0.75}))
	assert.Zero(t, blockWork{tr}.widestLeap([]float64{-5, -4.5, -4, -3.75}))
	assert.Equal(t, 1.0, blockWork{tr}.widestLeap([]float64{-5, -4}))
}

// The sphere may be changed between two looks at the blocks for a lens of the
// same sign that was just called better, and for no other.
func TestAsForBetter(t *testing.T) {
	held := func(power float64, k patient.Kind) moment {
		m := moment{Standing: sitting.Standing{Event: sitting.Event{
			N: 2, Action: sitting.Action{Do: sitting.Ask, Question: patient.WithLens}, Answer: &patient.Answer{Kind: k},
		}}}
		m.frame.Held = optics.SphereOf(power)
		return m
	}
	for _, c := range []struct {
		m        moment
		from, to int
		change   float64
		want     bool
	}{
		{held(-0.5, patient.Better), 1, 3, -0.5, true},
		{held(-0.5, patient.Worse), 1, 3, -0.5, false},
		{held(-0.5, patient.Better), 1, 3, 0.5, false},
		{held(-0.5, patient.Better), 2, 3, -0.5, false},
		{held(-0.5, patient.Better), 0, 2, -0.5, false},
	} {
		tr := &trace{moments: []moment{{}, {}, c.m}}
		assert.Equal(t, c.want, blockWork{tr}.asForBetter(c.from, c.to, c.change), "%+v", c)
	}
}

func TestSeverity(t *testing.T) {
	for points, want := range map[fact.Points]Severity{0: Note, 0.5: Slight, 1.99: Slight, 2: Serious, 6: Serious} {
		assert.Equal(t, want, severity(points), "%v", points)
	}
}

// A cylinder that the blocks called too weak was kept, though a stronger one reversed them.
func TestWeakCylinderKept(t *testing.T) {
	const p, x, a = patient.Parallel, patient.Perpendicular, patient.Alike
	for _, c := range []struct {
		stated string
		all    []moment
		form   string
	}{
		{"-1.00", []moment{blocks(-1.75, 30, x), blocks(-1.5, 30, a), blocks(-1, 30, p)}, "kept"},
		{"-1.00", []moment{blocks(-1.5, 30, a), blocks(-1, 30, p)}, ""},
		{"-1.00", []moment{blocks(-0.75, 30, p), blocks(-1, 30, p)}, "weak"},
		{"-1.25", []moment{blocks(-1.75, 30, x), blocks(-1.5, 30, a), blocks(-1.25, 30, a), blocks(-1, 30, p)}, "none"},
	} {
		tr := told(t, "-1.00/-1.50x30", "-1.00/"+c.stated+"x30", append([]moment{dial(30)}, c.all...)...).claimed()
		form := "none"
		for _, f := range (blockWork{tr.trace}).judgeBracket().findings {
			if f.ID == "cylinder-not-bracketed" {
				form = f.Form
			}
		}
		assert.Equal(t, c.form, form, "%+v", c.stated)
	}
}
