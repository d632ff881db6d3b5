package cases

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

func TestCheckFile(t *testing.T) {
	for name, c := range map[string]struct {
		file string
		want []string
	}{
		"nothing": {plain, nil},
		"far objective": {
			with("-0.75 / -1.75 x 35", "+0.50 DS"),
			[]string{"case.mind.absurd (error −1.00 / −2.00 x 30, objective +0.50 DS, off 3.5)", "case.mind.fog-much (back 2, fog 0.5)"},
		},
		"a trap": {
			with("-0.75 / -1.75 x 35", "-1.00 / -2.00 x 70"),
			[]string{"case.mind.far (error −1.00 / −2.00 x 30, objective −1.00 / −2.00 x 70, off 1.29)"},
		},
		"faint cylinder": {
			with("-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35", "-1.00 / -0.25 x 180\"\nobjective = \"-1.00 DS"),
			[]string{"case.mind.faint (cyl -0.25)"},
		},
		"beyond the trial set": {
			with("-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35", "+20.00 / -7.00 x 180\"\nobjective = \"+20.00 / -6.00 x 180"),
			[]string{"case.mind.spheres (least -20, most 20)", "case.mind.cylinders (cyl -7, most -6)"},
		},
		"an objective result that is not in the trial set": {
			with("-0.75 / -1.75 x 35", "-0.80 / -1.75 x 32.5"),
			[]string{"case.mind.not-made-up (cause " + unmade(optics.SphereOf(-0.8)) + ", objective −0.80 / −1.75 x 33)",
				"case.mind.not-made-up (cause " + unmade(optics.CylinderOf(-1.75, 32.5)) + ", objective −0.80 / −1.75 x 33)"},
		},
		"fog behind the retina": {
			with("-0.75 / -1.75 x 35", "-1.75 / -1.50 x 30"),
			[]string{"case.mind.fog-behind (back -0.25, fog 0.5)"},
		},
		"too little fog": {
			with("-0.75 / -1.75 x 35", "-1.50 / -1.75 x 30"),
			[]string{"case.mind.fog-little (back 0, fog 0.5)"},
		},
		"more kept up than the eye can do": {
			with("", "amplitude = 1\n[patient.accommodation]\nspasm = 1.25"),
			[]string{"case.mind.tonus (amplitude 1, tonus 1.25)"},
		},
		"just as much": {with("", "amplitude = 1.25\n[patient.accommodation]\nspasm = 1.25"), nil},
		"a cramp at forty": {
			with("age = 34", "age = 40\naccommodation.spasm = 1.25"),
			[]string{"case.mind.spasm (age 40)"},
		},
		"a younger one": {with("age = 34", "age = 39\naccommodation.spasm = 1.25"), nil},
		"latent in a myope": {
			with("age = 34", "age = 20\naccommodation.latent = 0.75"),
			[]string{"case.mind.latent (latent 0.75)"},
		},
		"level": {
			with("title", "level = 3\ntitle"),
			[]string{"case.mind.level-easy (grade 1, level 3)"},
		},
		"the level of what is hard": {
			strings.Replace(with("x 30", "x 31"), "title", "level = 1\ntitle", 1),
			[]string{"case.mind.level (grade 2, hard [oblique-axis], level 1)"},
		},
	} {
		t.Run(name, func(t *testing.T) { assert.Equal(t, c.want, listed(checkFile(mustRead(t, c.file)))) })
	}
}

// unmade is why a trial set does not have a lens.
func unmade(l optics.Lens) string { return optics.TrialSet{}.Check(l).Error() }

// listed is facts as programmers have them, sizes to hundredths.
func listed(facts []fact.Fact) (out []string) {
	for _, f := range facts {
		if off, is := f.Values["off"].(fact.Amount); is {
			f = f.With("off", fact.Amount(math.Round(float64(off)*100)/100))
		}
		out = append(out, f.String())
	}
	return out
}

func TestTextsThatALanguageLacks(t *testing.T) {
	for file, want := range map[string][]string{
		with("title", "story = \"S\"\ntitle") + "[texts.de]\ntitle = \"Z\"": {"case.mind.texts (language de, missing [story], section texts.de)"},
		with("", "[texts.de]\nstory = \"Z\""):                               {"case.mind.texts (language de, missing [title], section texts.de)"},
		with("", "[texts.de]\ntitle = \"Z\""):                               nil,
		plain:                                                               nil,
	} {
		assert.Equal(t, want, listed(checkTexts(mustRead(t, file))), file)
	}
}

// Elliott, Clinical Procedures in Primary Eye Care, ch. 4: a myope of
// about 1.00 D reads 6/12. The bounds are a line to either side.
func TestCard(t *testing.T) {
	c := mustRead(t, with("-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35", "-1.00 DS\"\nbest-sphere = \"6/5\"\nbest-sphere-lens = -1.25\nobjective = \"-1.00 DS"))
	card := c.Card(sitting.Right)
	assert.InDelta(t, 0.30, card.Unaided, 0.1)
	assert.Equal(t, -1.25, card.Sphere, "as the case says")
	assert.InDelta(t, -0.079, card.BestSphere, 0.001, "6/5, as the case says")
}

func TestCompareCard(t *testing.T) {
	seen := Card{Unaided: 0.3, BestSphere: 0}
	e := &Eye{Unaided: "6/60", BestSphere: "6/7.5"}
	assert.Equal(t, []string{"case.mind.unaided (eye left, given 6/60, seen 0.3)"}, listed(compareCard(e, sitting.Left, seen)))
	e = &Eye{BestSphere: "6/9"}
	assert.Equal(t, []string{"case.mind.best-sphere (eye right, given 6/9, seen 0)"}, listed(compareCard(e, sitting.Right, seen)))
	assert.Empty(t, compareCard(&Eye{Unaided: "6/12"}, sitting.Right, seen))
	assert.Empty(t, checkCard(mustRead(t, plain)), "nothing is written, nothing is compared")
}

// An acuity that the optics do not reach anyhow is pointed out, of either eye.
func TestNeuralThatChangesNothing(t *testing.T) {
	file := with("", "neural = \"6/12\"\n[left]\nerror = \"-1.00 DS\"\nneural = \"6/3\"")
	warnings := checkNeural(mustRead(t, file))
	if assert.Len(t, warnings, 1) {
		assert.Equal(t, "case.mind.neural", warnings[0].ID)
		assert.Equal(t, sitting.Left, warnings[0].Values["eye"])
		assert.Equal(t, "6/3", warnings[0].Values["given"])
	}
	assert.Empty(t, checkNeural(mustRead(t, plain)))
}

func TestDifficulties(t *testing.T) {
	assert.Empty(t, mustRead(t, plain).Difficulties(), "an axis of 30 is still with the rule")
	for what, file := range map[Difficulty]string{
		ObliqueAxis:   with("x 30\"\nobjective = \"-0.75 / -1.75 x 35", "x 31\"\nobjective = \"-0.75 / -1.75 x 35"),
		FaintCylinder: with("-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35", "-1.00 DS\"\nobjective = \"-1.00 DS"),
		LargeCylinder: with("-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35", "-1.00 / -3.25 x 30\"\nobjective = \"-1.00 / -3.00 x 30"),
		Accommodates:  with("-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35", "+1.50 / -2.00 x 30\"\nobjective = \"+1.50 / -2.00 x 30"),
		SmallPupil:    with("", "pupil = 2.9"),
		Unreliable:    with("age = 34", "age = 34\nmanner = \"scattered\""),
		Misleading:    with("-1.75 x 35", "-1.00 x 30"),
	} {
		assert.Equal(t, []Difficulty{what}, mustRead(t, file).Difficulties())
	}
	assert.Empty(t, mustRead(t, with("-0.75 / -1.75 x 35", "-0.75 / -1.50 x 30")).Difficulties())
}
