package scoring

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// tens is a scheme in which each fault takes ten points at most.
var tens = cases.ConductScheme{Heeding: 25, Cover: 10, CylinderOut: 10, Verify: 10, Check: 10, SphereAlone: 10, Acuity: 10, Lenses: 10, Questions: 10}

// takes is what the findings take, by their IDs.
func takes(t claiming) map[string]fact.Points {
	out := map[string]fact.Points{}
	for _, f := range faultsOf(t.claimed().trace, tens) {
		if f.takes > 0 {
			out[f.ID] = f.takes
		}
	}
	return out
}

// seen is more plus that blurs the dial, and verifies a fog.
var seen = answered(patient.WithLens, patient.Worse, on(chart.Fan), holding(0.5))

// checked is a dial through the cylinder with no line that stands out.
var checkedDial = dial(patient.Alike, wearing(0, -2, 30))

// worked is work without a fault, to put others beside: a dial, its fog, the blocks and
// their check.
func worked(more ...moment) []moment {
	return append([]moment{dial(30), seen, blocks(-2, 30, patient.Alike), checkedDial}, more...)
}

// What each finding takes of what its item takes at most, ten points here, with the
// sitting just beside it. Words are those of the finding.
func TestWhatFaultsTake(t *testing.T) {
	const a, p = patient.Alike, patient.Parallel
	letters := func(changes ...func(*moment)) moment {
		return answered(patient.ReadLetters, 0.0, append([]func(*moment){wearing(-1, -2, 30)}, changes...)...)
	}
	blind := func(m *moment) { m.sees = false }
	is := func(pairs ...any) map[string]fact.Points {
		out := map[string]fact.Points{}
		for i := 0; i < len(pairs); i += 2 {
			out[pairs[i].(string)] = fact.Points(pairs[i+1].(int))
		}
		return out
	}
	for _, c := range []struct {
		what string
		all  []moment
		want map[string]fact.Points
	}{
		{"good work", worked(letters()), is()},

		{"both eyes at the letters once", worked(letters(bothOpen)), is("other-eye-open", 5)},
		{"twice", worked(letters(bothOpen), letters(bothOpen)), is("other-eye-open", 5)},
		{"three times", worked(letters(bothOpen), letters(bothOpen), letters(bothOpen)), is("other-eye-open", 10)},
		{"both eyes at lines", worked(limbs(30, a, bothOpen)), is("other-eye-open", 10)},
		{"the wrong eye", worked(letters(blind)), is("wrong-eye", 10)},

		{"the dial through the cylinder", []moment{dial(30, wearing(0, -1, 35)), seen, blocks(-2, 30, a), checkedDial}, is("cylinder-left-in", 10)},
		{"and put right", []moment{dial(30, wearing(0, -1, 35)), dial(30), seen, blocks(-2, 30, a), checkedDial}, is("cylinder-left-in", 5)},

		{"the fog not verified", []moment{dial(30), blocks(-2, 30, a), checkedDial}, is("fog-not-verified", 10)},
		{"least fog, a sixteenth less", []moment{dial(30, fogged(0.19)), blocks(-2, 30, a), checkedDial}, is("fog-not-verified", 10)},
		{"too little", []moment{dial(30, fogged(0.18)), blocks(-2, 30, a), checkedDial}, is("fog-too-little", 10)},
		{"most fog and a sixteenth", []moment{dial(30, fogged(1.06)), blocks(-2, 30, a), checkedDial}, is("fog-not-verified", 10)},
		{"too much", []moment{dial(30, fogged(1.07)), blocks(-2, 30, a), checkedDial}, is("fog-too-much", 10)},
		{"too little, and seen", []moment{dial(30, fogged(0.18)), answered(patient.WithLens, patient.Worse, fogged(0.18), on(chart.Fan), holding(0.5)), blocks(-2, 30, a), checkedDial}, is()},
		{"more plus is better", []moment{dial(30), answered(patient.WithLens, patient.Better, on(chart.Fan), holding(0.5)), blocks(-2, 30, a), checkedDial}, is("fog-check-unheeded", 10)},
		{"seen a sixteenth above", []moment{dial(30, fogged(0.44)), seen, blocks(-2, 30, a), checkedDial}, is()},
		{"seen further above", []moment{dial(30, fogged(0.43)), seen, blocks(-2, 30, a), checkedDial}, is("fog-not-verified", 10)},
		{"fog lost at the blocks", worked(blocks(-2, 30, a, fogged(-0.07)), blocks(-2, 30, a, fogged(-0.07))), is("fog-lost", 5)},
		{"a sixteenth behind", worked(blocks(-2, 30, a, fogged(-0.06)), blocks(-2, 30, a, fogged(-0.06))), is()},

		{"the sphere moved by a quarter", worked(blocks(-1.75, 30, p, wearing(0.5, -1.75, 30)), blocks(-2, 30, a, wearing(0.25, -2, 30))), is("sphere-moved", 10)},
		{"by less than a sixteenth", worked(blocks(-1.75, 30, p), blocks(-2, 30, a, wearing(-0.06, -2, 30))), is()},
		{"by a sixteenth", worked(blocks(-1.75, 30, p), blocks(-2, 30, a, wearing(-0.0625, -2, 30))), is("sphere-moved", 10)},
		{"a quarter for a quarter of cylinder", worked(blocks(-1.75, 30, p), blocks(-2, 30, a, wearing(0.25, -2, 30))), is()},
		{"more for a quarter", worked(blocks(-1.75, 30, p), blocks(-2, 30, a, wearing(0.26, -2, 30))), is("sphere-moved", 10)},
		{"a half for one dioptre", worked(blocks(-1, 30, p), blocks(-2, 30, a, wearing(0.5, -2, 30))), is()},
		{"more for one dioptre", worked(blocks(-1, 30, p), blocks(-2, 30, a, wearing(0.51, -2, 30))), is("sphere-moved", 10)},
		{"into the fog where it belongs", worked(blocks(-2, 30, p, fogged(1.25)), blocks(-2, 30, a, wearing(-0.25, -2, 30), fogged(1))), is()},

		{"no check of the equality", []moment{dial(30), seen, blocks(-2, 30, a)}, is("equality-not-checked", 6)},
		{"a check not heeded", []moment{dial(30), seen, blocks(-2, 30, a), dial(75, wearing(0, -2, 30))}, is("check-unheeded", 10)},
		{"as often passed as not", worked(dial(75, wearing(0, -2, 30))), is()},
		{"heeded", []moment{dial(30), seen, blocks(-2, 30, a), dial(75, wearing(0, -2, 30)), blocks(-2.25, 30, a)}, is()},
		{"of a cylinder 3 degrees away", []moment{dial(30), seen, blocks(-2, 30, a), dial(75, wearing(0, -2, 33))}, is("check-unheeded", 10)},
		{"4 degrees away", []moment{dial(30), seen, blocks(-2, 30, a), dial(75, wearing(0, -2, 34))}, is()},

		{"led once", worked(letters(led)), is("leading-question", 6)},
		{"led twice", worked(letters(led), letters(led)), is("leading-question", 10)},
		{"the third time", worked(letters(), letters(), letters()), is()},
		{"the fourth time", worked(letters(), letters(), letters(), letters()), is("useless-repeats", 4)},
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", c.all...)
		tr.end.Acuity = patient.Acuity{Written: "6/6", LogMAR: 0}
		got := takes(tr)
		if len(tr.letters()) == 0 {
			delete(got, "acuity-made-up")
		}
		assert.Equal(t, c.want, got, c.what)
	}
}

// The stated acuity may be two letters and half a row, 0.04 + 0.05 = 0.09, from what was
// read through the end point; with more than one reading, from the best or the worst.
func TestWhatTheAcuityTakes(t *testing.T) {
	at := func(v float64, sphere float64) moment {
		return answered(patient.ReadLetters, v, wearing(sphere, -2, 30))
	}
	all := func(m moment) moment { m.Answer.Rows[0].Said = m.Answer.Rows[0].Shown; return m }
	for _, c := range []struct {
		what   string
		read   []moment
		stated float64
		want   map[string]fact.Points
	}{
		{"as read", []moment{at(0.10, -1)}, 0.10, nil},
		{"0.09 worse", []moment{at(0.10, -1)}, 0.19, nil},
		{"0.09 better", []moment{at(0.10, -1)}, 0.01, nil},
		{"more worse", []moment{at(0.10, -1)}, 0.191, map[string]fact.Points{"acuity-made-up": 10}},
		{"more better", []moment{at(0.10, -1)}, 0.009, map[string]fact.Points{"acuity-made-up": 10}},
		{"beside one of two", []moment{at(0.10, -1), at(0.20, -1)}, 0.29, nil},
		{"through another sphere", []moment{at(0.30, -0.75), at(0.10, -1)}, 0.30, map[string]fact.Points{"acuity-made-up": 10}},
		{"only through another", []moment{at(0.30, -0.75)}, 0.30, nil},
		{"nothing was read", nil, 0.10, map[string]fact.Points{"acuity-made-up": 10}},
		{"not recorded", []moment{at(0.10, -1)}, math.NaN(), map[string]fact.Points{"acuity-not-recorded": 10}},
		{"no letter missed", []moment{all(at(0.10, -1))}, 0.10, map[string]fact.Points{"acuity-not-to-threshold": 5}},
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", c.read...)
		if !math.IsNaN(c.stated) {
			tr.end.Acuity = patient.Acuity{Written: "stated", LogMAR: c.stated}
		}
		got := takes(tr)
		if c.want == nil {
			c.want = map[string]fact.Points{}
		}
		assert.Equal(t, c.want, got, c.what)
	}
}

// A lens of −2.00 that is put in for one of −1.00 before that comes out: plus is missing in
// between, by more than a quarter and by 0.30 D more than before and after, for an
// eye that can accommodate a quarter.
func TestWhatLensesTake(t *testing.T) {
	for _, c := range []struct {
		was, between, now float64 // spherical equivalents of the residual
		amplitude         float64
		want              bool
	}{
		{0.5, -0.26, 0.5, 0.25, true}, {0.5, -0.25, 0.5, 0.25, false}, {0.5, -0.26, 0.5, 0.24, false},
		{-0.5, -0.81, -0.25, 5, true}, {-0.5, -0.80, -0.25, 5, false}, {0, -0.81, -0.5, 5, true}, {0, -0.80, -0.5, 5, false},
	} {
		step := func(do sitting.Verb, worn, m float64) moment {
			out := moment{settled: optics.Power{M: m}, Standing: sitting.Standing{Event: sitting.Event{Action: sitting.Action{Do: do}}}}
			wearing(worn, 0, 0)(&out)
			return out
		}
		tr := told(t, "-1.00/-2.00x30", "", step(sitting.Note, -1, c.was), step(sitting.Put, -3, c.between), step(sitting.Take, -2, c.now))
		tr.setup.Eyes[0].Amplitude = c.amplitude
		got := map[bool]bool{false: false, true: true}[takes(tr)["minus-first"] == 10]
		assert.Equal(t, c.want, got, "%+v", c)
	}
}

// Of 25 points for heeding all are kept from 0.7 beyond chance on: 11 of 13 are 9/13, 0.6923,
// and keep 25 x 0.6923/0.7 = 24.73; 6 of 7 are 5/7. Two answers, both heeded, are a third.
func TestConductPart(t *testing.T) {
	for _, c := range []struct {
		heeded, n int
		want      fact.Points
	}{{6, 7, 25}, {11, 13, 24.73}, {5, 6, 23.81}, {4, 6, 11.9}, {3, 6, 0}, {2, 2, 11.9}, {5, 5, 25}, {4, 4, 23.81}, {0, 0, 0}} {
		p, found := conductPart(tens, judged(c.heeded, c.n), enoughAnswers, nil)
		assert.Equal(t, c.want, p.Points, "%+v", c)
		requireWhole(t, []Part{p})
		assert.Equal(t, c.n > c.heeded && c.want < 25, len(found) == 1, "%+v", c)
	}
}

// Faults take from what heeding left, and no more than that.
func TestFaultsTakeFromHeeding(t *testing.T) {
	some := func(takes ...fact.Points) (out []fault) {
		for _, p := range takes {
			out = append(out, fault{Finding{ID: "sphere-moved"}, p})
		}
		return out
	}
	for _, c := range []struct {
		faults []fault
		want   fact.Points
	}{{some(), 25}, {some(5), 20}, {some(5, 1.5), 18.5}, {some(10, 10, 5), 0}, {some(10, 10, 10), 0}, {some(0), 25}} {
		p, _ := conductPart(tens, judged(6, 6), enoughAnswers, c.faults)
		assert.Equal(t, c.want, p.Points)
		requireWhole(t, []Part{p})
	}
	p, _ := conductPart(tens, nil, enoughAnswers, some(5))
	require.Zero(t, p.Points)
	assert.Equal(t, "reason.nothing-heard", p.Reasons[0].Why.ID)
}
