package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/scoring/evidence"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// The back line may stand 0.06 D behind the retina, or half of 0.50 D and a sixteenth,
// 0.3125 D, once more plus was seen to blur there: through a sphere that is as strong,
// but for a sixteenth, or weaker.
func TestUnfitWithoutFog(t *testing.T) {
	blurs := func(fog float64) moment {
		return answered(patient.WithLens, patient.Worse, fogged(fog), on(chart.Fan), holding(0.50))
	}
	same := answered(patient.WithLens, patient.Same, fogged(-0.30), on(chart.Fan), holding(0.50))
	for _, c := range []struct {
		fog   float64
		check []moment
		want  Unfit
	}{
		{-0.06, nil, ""},
		{-0.07, nil, NotFogged},
		{-0.05, []moment{same}, ""},
		{-0.30, []moment{same}, NotFogged},
		{-0.31, []moment{blurs(-0.31)}, ""},
		{-0.315, []moment{blurs(-0.315)}, NotFogged},
		{-0.30, []moment{blurs(-0.24)}, ""},
		{-0.30, []moment{blurs(-0.23)}, NotFogged},
		{-0.30, []moment{blurs(-1)}, ""},
	} {
		tr := told(t, "-1.00/-2.00x30", "", append(c.check, limbs(30, patient.Left, fogged(c.fog)))...)
		assert.Equal(t, c.want, theOnly(t, tr.onArrow()).Unfit, "%+v", c)
	}
	late := told(t, "-1.00/-2.00x30", "", limbs(30, patient.Left, fogged(-0.20)), blurs(-0.20))
	assert.Equal(t, NotFogged, theOnly(t, late.onArrow()).Unfit, "a check that came later")
}

func TestUnfitForOtherReasons(t *testing.T) {
	through := wearing(0, -1, 30)
	for _, c := range []struct {
		change func(*moment)
		want   Unfit
	}{{bothOpen, OtherEyeOpen}, {led, LedOn}, {through, ThroughLens}, {fogged(0.5), ""}} {
		tr := told(t, "-1.00/-2.00x30", "", limbs(30, patient.Left, c.change), dial(30, c.change))
		assert.Equal(t, c.want, theOnly(t, tr.onArrow()).Unfit)
		assert.Equal(t, c.want, theOnly(t, tr.onDial()).Unfit)
	}
}

// The blocks must stand within 3 degrees of the cylinder and within 10 of the axis that
// was stated; held up may be 0.25 to 0.75 D of plus, a sixteenth less or more.
func TestUnfitBlocks(t *testing.T) {
	for _, c := range []struct {
		pointer, cylinder int
		want              Unfit
	}{
		{30, 30, ""}, {33, 30, ""}, {27, 30, ""}, {34, 30, ElsewhereAt}, {26, 30, ElsewhereAt},
		{40, 40, ""}, {20, 20, ""}, {41, 41, ElsewhereAt}, {19, 19, ElsewhereAt},
	} {
		tr := told(t, "-1.00/-2.00x30", "", blocks(-1, float64(c.cylinder), patient.Alike, pointing(c.pointer)))
		h := theOnly(t, tr.onBlocks(30))
		assert.Equal(t, c.want, h.Unfit, "%+v", c)
		assert.Equal(t, 1.0, h.At)
	}
	for power, counts := range map[float64]bool{0.18: false, 0.19: true, 0.50: true, 0.81: true, 0.82: false, -0.25: false} {
		tr := told(t, "-1.00/-2.00x30", "", blocks(-1, 30, patient.Alike, holding(power)))
		assert.Equal(t, counts, len(tr.onBlocks(30)) == 1, "%v held up", power)
	}
}

// Comparisons are placed in the middle of two spheres, in dioptres above the end point
// -1.00/-2.00x30; less than a sixteenth apart they are one, and more than a half and a sixteenth too far apart.
func TestComparedSpheres(t *testing.T) {
	lens := func(k patient.Kind, worn, held float64) moment {
		return answered(patient.WithLens, k, wearing(worn, -2, 30), holding(held))
	}
	for _, c := range []struct {
		what string
		m    moment
		at   float64
		way  method.Way
		ok   bool
	}{
		{"more plus is worse", lens(patient.Worse, -1, 0.25), 0.125, method.Less, true},
		{"more plus is the same", lens(patient.Same, -1, 0.25), 0.125, method.More, true},
		{"less plus is the same", lens(patient.Same, -1, -0.25), -0.125, method.More, true},
		{"less plus is better", lens(patient.Better, -0.5, -0.25), 0.375, method.Less, true},
		{"half a dioptre and a sixteenth", lens(patient.Worse, -1, 0.56), 0.28, method.Less, true},
		{"more than that", lens(patient.Worse, -1, 0.57), 0, 0, false},
		{"three quarters", lens(patient.Worse, -1, 0.75), 0, 0, false},
		{"a sixteenth", lens(patient.Worse, -1, 0.0625), 0.03125, method.Less, true},
		{"less than that", lens(patient.Worse, -1, 0.06), 0, 0, false},
		{"another cylinder", answered(patient.WithLens, patient.Worse, wearing(-1, -1.5, 30), holding(0.25)), 0, 0, false},
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", c.m)
		h, ok := tr.compared(&tr.moments[1])
		require.Equal(t, c.ok, ok, c.what)
		if ok {
			assert.InDelta(t, c.at, h.At, 1e-5, c.what)
			assert.Equal(t, c.way, h.Way, c.what)
		}
	}
}

// Red is clearer: less plus, and no more than here; green: a step on. Either is placed
// half a step beyond the sphere. In more than 1.00 D and a sixteenth of blur nothing
// counts.
func TestComparedColours(t *testing.T) {
	for _, c := range []struct {
		k    patient.Kind
		blur float64
		way  method.Way
		ok   bool
	}{
		{patient.RedClearer, 0, method.Less, true},
		{patient.GreenClearer, 0, method.More, true},
		{patient.Alike, 0, 0, false},
		{patient.RedClearer, 1.06, method.Less, true},
		{patient.RedClearer, 1.07, method.Less, false},
	} {
		m := answered(patient.WhichColour, c.k, wearing(-1, -2, 30), func(m *moment) { m.residual = optics.Power{M: c.blur} })
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30", m)
		h, ok := tr.compared(&tr.moments[1])
		require.Equal(t, c.ok, ok, "%+v", c)
		if ok {
			assert.Equal(t, 0.125, h.At)
			assert.Equal(t, c.way, h.Way)
		}
	}
}

// Letters that gain less than 0.06 with the last quarter, and were given no word, do not
// count when the quarter before gained nothing, by letters or by a word.
func TestLettersAfterAQuarterWithoutGain(t *testing.T) {
	for _, c := range []struct {
		before float64 // gained by the quarter before
		word   patient.Kind
		want   method.Way
	}{
		{0.06, "", method.Less}, {0.02, "", method.Less}, {0.019, "", method.More},
		{0.02, patient.Better, method.Less}, {0.02, patient.Same, method.More},
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30",
			answered(patient.ReadLetters, 0.10, wearing(-1, -2, 30)),
			answered(patient.ReadLetters, 0.14, wearing(-0.75, -2, 30)),
			answered(patient.ReadLetters, 0.14+c.before, wearing(-0.5, -2, 30)))
		var words []Heard
		if c.word != "" {
			words = append(words, Heard{Vote: evidence.Vote{At: 0.375, Way: map[patient.Kind]method.Way{patient.Better: method.Less, patient.Same: method.More}[c.word]}})
		}
		all := tr.lettersCompared(words)
		last := all[0]
		require.Equal(t, 0.125, last.At)
		assert.Equal(t, c.want, last.Way, "%+v", c)
	}
}

// A quarter less plus must gain 0.06 alone, and 0.02 where a word says so; between the
// two letters go with what was stated. A pair of halves must gain twice that.
func TestLettersCompared(t *testing.T) {
	for _, c := range []struct {
		less, more float64 // dioptres above the end point
		gain       float64
		word       bool
		way        method.Way
		ok         bool
	}{
		{0, 0.25, 0.06, false, method.Less, true},
		{0, 0.25, 0.06, true, method.Less, true},
		{0, 0.25, 0.059, false, method.Less, true},
		{0, 0.25, 0.059, true, 0, false},
		{0, 0.25, 0.02, false, method.Less, true},
		{0, 0.25, 0.02, true, 0, false},
		{0, 0.25, 0.019, false, method.More, true},
		{0, 0.25, 0.019, true, method.More, true},
		{-0.25, 0, 0.06, false, method.Less, true},
		{-0.25, 0, 0.059, false, method.More, true},
		{-0.25, 0, 0.059, true, 0, false},
		{-0.25, 0, 0.02, true, 0, false},
		{-0.25, 0, 0.019, true, method.More, true},
		{-0.5, 0, 0.12, false, method.Less, true},
		{-0.5, 0, 0.119, false, method.More, true},
		{0, 0.5, 0.04, false, method.Less, true},
		{0, 0.5, 0.039, false, method.More, true},
		{0, 0.75, 0.5, false, 0, false},
	} {
		tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30",
			answered(patient.ReadLetters, 0.10, wearing(-1+c.less, -2, 30)),
			answered(patient.ReadLetters, 0.10+c.gain, wearing(-1+c.more, -2, 30)))
		var words []Heard
		if c.word {
			words = []Heard{{}}
			words[0].At = (c.less + c.more) / 2
		}
		all := tr.lettersCompared(words)
		require.Equal(t, c.ok, len(all) == 1, "%+v", c)
		if c.ok {
			assert.Equal(t, c.way, all[0].Way, "%+v", c)
			assert.Equal(t, (c.less+c.more)/2, all[0].At)
		}
	}
}

// Letters that cannot be read at all count as 1.30 logMAR; what is read twice through
// one sphere counts with its mean: (1.30 + 0.90)/2 = 1.10.
func TestNothingRead(t *testing.T) {
	tr := told(t, "-1.00/-2.00x30", "-1.00/-2.00x30",
		answered(patient.ReadLetters, patient.Blurred, wearing(-0.75, -2, 30)),
		answered(patient.ReadLetters, 0.9, wearing(-0.75, -2, 30)),
		answered(patient.ReadLetters, 0.2, wearing(-1, -2, 30)))
	h := theOnly(t, tr.lettersCompared(nil))
	assert.Equal(t, fact.New("said.read-both", "less", fact.LogMAR(0.2), "more", fact.LogMAR(1.1)), h.Said)
	assert.Equal(t, 3, h.Event)
}

// A dial of which nothing can be told is one on which no line stands out, when it is not
// blurred by more than the most fog and a sixteenth.
func TestNothingStoodOut(t *testing.T) {
	for _, c := range []struct {
		k    patient.Kind
		fog  float64
		want bool
	}{
		{patient.Alike, 2, true}, {patient.Unsure, 2, true}, {patient.Blurred, 1.06, true}, {patient.Blurred, 1.07, false}, {patient.Changing, 0.5, false},
	} {
		all := told(t, "-1.00/-2.00x30", "", dial(c.k, fogged(c.fog))).onDial()
		require.Equal(t, c.want, len(all) == 1, "%+v", c)
		if c.want {
			assert.True(t, all[0].Nothing)
		}
	}
}
