package patient

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/optics"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const many = 4000

// chance is four standard errors of a share p of many trials: a share that is
// further off would be met once in fifteen thousand times.
func chance(p float64) float64 { return 4 * math.Sqrt(p*(1-p)/many) }

// moment is one of many different moments.
func moment(i int) Moment {
	return Moment{Key: [16]byte{3}, View: fmt.Sprint("view ", i), Question: string(OneOrTwo)}
}

// share is the share of many moments for which something holds.
func share(holds func(at Moment) bool) float64 {
	n := 0
	for i := range many {
		if holds(moment(i)) {
			n++
		}
	}
	return float64(n) / many
}

// same reports whether two answers are alike to the last word.
func same(a, b Answer) bool { return assert.ObjectsAreEqual(a, b) }

// compare asks whether something is clearer now than before, with the focus of
// the eye at rest.
func compare(m Manner, at Moment, before, now float64) Answer {
	return m.Compare(at, Glance{Felt: before}, Glance{Felt: now})
}

// again is the same moment one asking later.
func again(at Moment) Moment {
	at.Asked++
	return at
}

func TestAnswersDependOnTheMomentAlone(t *testing.T) {
	m := Manners()["scattered"]
	look := fogged(30).Look(standard())
	left, right := chart.ArrowLimbs(33)
	ask := []func(Moment) Answer{
		func(at Moment) Answer { return compare(m, at, -1, -0.9) },
		func(at Moment) Answer { return m.Limbs(at, Once(look), left, right) },
		func(at Moment) Answer {
			return m.Lines(at, Once(look), fanLines())
		},
		func(at Moment) Answer { return m.ReadRow(at, []*Reading{look.Reading(1)}, RowRead{0.9, "HKNUZ", ""}) },
	}
	var first []Answer
	for i := range 12 {
		first = append(first, ask[i%len(ask)](moment(i)))
	}
	for i := 11; i >= 0; i-- {
		assert.Equal(t, first[i], ask[i%len(ask)](moment(i)), "the other way round")
	}
}

func TestEachPartOfTheMomentCounts(t *testing.T) {
	m := Manner{Noise: 0.1, Change: 1}
	base := Moment{Key: [16]byte{1}, View: "v", Question: "q", Asked: 1}
	one := compare(m, base, 0, 0)
	for name, other := range map[string]Moment{
		"key":      {Key: [16]byte{2}, View: "v", Question: "q", Asked: 1},
		"view":     {Key: [16]byte{1}, View: "w", Question: "q", Asked: 1},
		"question": {Key: [16]byte{1}, View: "v", Question: "r", Asked: 1},
		"asked":    {Key: [16]byte{1}, View: "v", Question: "q", Asked: 2},
	} {
		assert.NotEqual(t, one, compare(m, other, 0, 0), name)
	}
	// Parts do not run into each other.
	a := compare(m, Moment{Key: [16]byte{1}, View: "v", Question: "wq"}, 0, 0)
	b := compare(m, Moment{Key: [16]byte{1}, View: "vw", Question: "q"}, 0, 0)
	assert.NotEqual(t, a, b)
}

// Asked the same again, a person thinks afresh with the chance Change and else
// repeats the answer.
func TestAskedAgain(t *testing.T) {
	skipInShort(t)
	for name, m := range Manners() {
		m.Noise, m.Lapse, m.Wavering, m.AsksAgain = max(m.Noise, 0.05), 0, 0, 0
		anew := share(func(at Moment) bool { return !same(compare(m, at, 0, 0), compare(m, again(at), 0, 0)) })
		assert.InDelta(t, m.Change, anew, chance(m.Change)+1e-9, name)
		other := share(func(at Moment) bool {
			return compare(m, at, 0, m.Difference).Kind != compare(m, again(at), 0, m.Difference).Kind
		})
		assert.LessOrEqual(t, other, m.Change+chance(m.Change), name)
		if m.Change > 0 {
			assert.Positive(t, other, name)
		}
		third := share(func(at Moment) bool { return !same(compare(m, again(at), 0, 0), compare(m, again(again(at)), 0, 0)) })
		assert.InDelta(t, m.Change, third, chance(m.Change)+1e-9, name)
	}
}

// The noise of a judgement has the standard deviation that the manner names:
// with no smallest difference, two equal sensations with Noise and a true
// difference of Noise times the square root of 2 are told rightly 84 times in
// a hundred (the normal distribution at one standard deviation: 0.8413).
func TestNoiseHasItsStandardDeviation(t *testing.T) {
	m := Manner{Noise: 0.1}
	right := func(at Moment) bool { return compare(m, at, 0, m.Noise*math.Sqrt2).Kind == Better }
	assert.InDelta(t, 0.8413, share(right), chance(0.8413))
	assert.InDelta(t, 0.5, share(func(at Moment) bool { return compare(m, at, 0, 0).Kind == Better }), chance(0.5), "neither side is favoured")
	m.Settling = 3
	strange := share(func(at Moment) bool { return compare(m, at, 0, 2*m.Noise*math.Sqrt2).Kind == Better })
	assert.InDelta(t, 0.8413, strange, chance(0.8413), "just behind a new lens the noise is doubled")
	used := share(func(at Moment) bool { at.Since = 60; return right(at) })
	assert.InDelta(t, 0.8413, used, chance(0.8413), "after a minute it is what it was")
	m.Settling, m.Fatigue = 0, 1
	tired := share(func(at Moment) bool { at.Step = 100; return compare(m, at, 0, 2*m.Noise*math.Sqrt2).Kind == Better })
	assert.InDelta(t, 0.8413, tired, chance(0.8413), "after a hundred steps the noise has doubled")
	assert.Equal(t, 1.0, m.Tiredness(0))
}

func TestNoiselessHasNoNoise(t *testing.T) {
	assert.Equal(t, 1.0, share(func(at Moment) bool { return compare(noiseless, at, 0, 1e-6).Kind == Better }))
	assert.Equal(t, 1.0, share(func(at Moment) bool { return compare(noiseless, at, 1e-6, 0).Kind == Worse }))
	assert.Equal(t, 1.0, share(func(at Moment) bool { return compare(noiseless, at, 0, 0).Kind == Same }))
}

// A lapse gives an answer at random in place of a plain one: no more often
// than Lapse, and not much less, for it may hit the right answer.
func TestLapsesComeAtTheirRate(t *testing.T) {
	m := Manner{Lapse: 0.06}
	wrong := share(func(at Moment) bool { return compare(m, at, 0, 5).Kind != Better })
	assert.LessOrEqual(t, wrong, m.Lapse+chance(m.Lapse))
	assert.GreaterOrEqual(t, wrong, m.Lapse/2-chance(m.Lapse))

	eyes := []*Look{fogged(30).Look(standard())}
	want := noiseless.Lines(Moment{}, Once(eyes...), fanLines()).Lines
	const asked = 400
	m.Lapse, wrong = 0.3, 0
	for i := range asked {
		if a := m.Lines(moment(i), Once(eyes...), fanLines()); !slices.Equal(want, a.Lines) {
			wrong += 1.0 / asked
		}
	}
	assert.InDelta(t, m.Lapse, wrong, 0.09)

	reading := with(bare(3), optics.Power{}).Look(standard()).Reading(1)
	letters, misread := 0, 0
	for i := range 300 {
		row := RowRead{0.6, "HKNUZ", ""}
		for k, r := range m.ReadRow(moment(i), []*Reading{reading}, row).Rows[0].Said {
			letters++
			if byte(r) != row.Shown[k] {
				misread++
			}
		}
	}
	assert.InDelta(t, m.Lapse*11/12, float64(misread)/float64(letters), 0.05, "one letter in twelve is hit by chance")
}

// A lapse is of the moment: who asks again hears what is seen, and may hear
// another lapse.
func TestALapseDoesNotStick(t *testing.T) {
	m := Manner{Lapse: 0.3}
	wrong := func(at Moment) bool { return compare(m, at, 0, 5).Kind != Better }
	const stray = 0.3 * 2 / 3 // one of three answers at random is right
	assert.InDelta(t, stray, share(wrong), chance(stray))
	twice := share(func(at Moment) bool { return wrong(at) && wrong(again(at)) })
	assert.InDelta(t, stray*stray, twice, chance(stray*stray), "the second is as likely as the first")

	eyes := []*Look{fogged(30).Look(standard())}
	want := noiseless.Lines(Moment{}, Once(eyes...), fanLines()).Lines
	row := RowRead{0.6, "HKNUZ", ""}
	reading := []*Reading{with(bare(3), optics.Power{}).Look(standard()).Reading(1)}
	lines, letters := 0, 0
	for i := range 200 {
		if !slices.Equal(want, m.Lines(moment(i), Once(eyes...), fanLines()).Lines) &&
			slices.Equal(want, m.Lines(again(moment(i)), Once(eyes...), fanLines()).Lines) {
			lines++
		}
		if m.ReadRow(moment(i), reading, row).Rows[0].Said != m.ReadRow(again(moment(i)), reading, row).Rows[0].Said {
			letters++
		}
	}
	assert.Positive(t, lines, "a line named at random")
	assert.Positive(t, letters, "a letter misread")
}

// A question that puts the answer into the patient's mouth is worth a
// difference of Suggestible, and no more.
func TestLeadingQuestionShiftsByItsPull(t *testing.T) {
	skipInShort(t)
	for name, m := range Manners() {
		m.Lapse = 0
		for _, d := range []float64{-0.3, -0.1, 0, 0.05, 0.2} {
			alike := share(func(at Moment) bool {
				plain := compare(m, at, 0, d+m.Suggestible)
				at.Leading = string(Better)
				return same(compare(m, at, 0, d), plain)
			})
			assert.GreaterOrEqual(t, alike, 1-1.0/many, "%s at %v", name, d) // but for the last bit of a sum
		}
	}
	m := Manner{Difference: 0.1, Suggestible: 0.2}
	lead := func(d float64, to Kind) Kind { return compare(m, Moment{Leading: string(to)}, 0, d).Kind }
	assert.Equal(t, Better, lead(0, Better))
	assert.Equal(t, Worse, lead(0, Worse))
	assert.Equal(t, Same, lead(0, "nonsense"))
	assert.Equal(t, Worse, lead(-0.35, Better), "what is plain stays plain")
	m.Suggestible = 0
	assert.Equal(t, Same, lead(0, Better), "one who cannot be led")
}

// A question that suggests no difference widens what passes for none by
// Suggestible, whichever word it has for it.
func TestLeadingToNoDifference(t *testing.T) {
	m := Manner{Difference: 0.1, Suggestible: 0.2}
	lead := func(d float64, to Kind) Kind { return compare(m, Moment{Leading: string(to)}, 0, d).Kind }
	for _, to := range []Kind{Alike, Same, Smaller} {
		for _, side := range []struct {
			d     float64
			plain Kind
		}{{0.29, Better}, {-0.29, Worse}} {
			assert.Equal(t, side.plain, lead(side.d, ""))
			assert.NotEqual(t, side.plain, lead(side.d, to), "%s at %v", to, side.d)
			assert.Equal(t, side.plain, lead(side.d+math.Copysign(0.02, side.d), to), "%s just beyond", to)
		}
	}
	m.Suggestible = 0
	assert.Equal(t, Better, lead(0.29, Same), "one who cannot be led")

	m = Manner{Difference: 0.05, Suggestible: 1}
	eyes := []*Look{with(bare(4), between(0.5, 0.5, 30)).Look(standard())}
	require.Equal(t, Lines, m.Lines(Moment{}, Once(eyes...), fanLines()).Kind)
	assert.Equal(t, Alike, m.Lines(Moment{Leading: string(Alike)}, Once(eyes...), fanLines()).Kind)
}

// "Smaller" can be suggested of what hardly shrinks, and "the same" of what does:
// by Suggestible on the scale of the noise of sizes, here 0.007.
func TestLeadingToSmaller(t *testing.T) {
	m := Manner{Difference: 0.1, Suggestible: 0.1}
	say := func(shrunk float64, to Kind) Kind {
		return m.Compare(Moment{Leading: string(to)}, Glance{}, Glance{Focus: shrunk / sizeGain}).Kind
	}
	assert.Equal(t, Same, say(0.009, ""))
	assert.Equal(t, Smaller, say(0.009, Smaller))
	assert.Equal(t, Same, say(0.007, Smaller), "not of what does not shrink")
	assert.Equal(t, Smaller, say(0.021, ""))
	assert.Equal(t, Same, say(0.021, Same))
	assert.Equal(t, Smaller, say(0.023, Same), "what is plain stays plain")
	m.Suggestible = 0
	assert.Equal(t, Same, say(0.009, Smaller), "one who cannot be led")
	assert.Equal(t, Smaller, say(0.021, Same))
}

// A line of the fan is suggested by its label, with the lines next to it.
func TestLeadingToALine(t *testing.T) {
	m := Manner{Difference: 0.05, Suggestible: 0.3}
	eyes := []*Look{with(bare(4), optics.Sphere(0.5)).Look(standard())}
	require.Equal(t, Alike, m.Lines(Moment{}, Once(eyes...), fanLines()).Kind)
	led := m.Lines(Moment{Leading: "180"}, Once(eyes...), fanLines())
	var labels []float64
	for _, a := range led.Lines {
		labels = append(labels, chart.LabelOf(a))
	}
	assert.ElementsMatch(t, []float64{170, 180, 10}, labels)
	assert.Equal(t, Alike, m.Lines(Moment{Leading: "better"}, Once(eyes...), fanLines()).Kind)
}

func TestHesitationIsUnsureOfCloseCalls(t *testing.T) {
	m := Manner{Difference: 0.1, Hesitation: 0.3}
	unsure := func(d float64) float64 {
		return share(func(at Moment) bool { return compare(m, at, 0, d).Kind == Unsure })
	}
	assert.InDelta(t, 0.3, unsure(0.09), chance(0.3))
	assert.InDelta(t, 0.3, unsure(-0.09), chance(0.3))
	assert.Zero(t, unsure(0.2), "a plain difference")
	assert.Zero(t, unsure(0), "no difference at all")
	m.Hesitation = 0
	assert.Zero(t, unsure(0.09))
}

// Lapses grow with the steps beyond the first forty, and never come more often
// than every other time.
func TestWearinessBringsLapses(t *testing.T) {
	m := Manner{Lapse: 0.03, Weariness: 0.6}
	strays := func(step int) float64 {
		return share(func(at Moment) bool { at.Step = step; return compare(m, at, 0, 5).Kind != Better })
	}
	said := func(lapses float64) float64 { return lapses * 2 / 3 } // one of three answers at random is right
	assert.InDelta(t, said(0.03), strays(0), chance(0.02))
	assert.Equal(t, strays(0), strays(40), "not yet")
	assert.InDelta(t, said(0.33), strays(90), chance(0.22))
	assert.InDelta(t, said(0.5), strays(1000), chance(0.33))
	assert.Greater(t, m.wearied(41), m.wearied(40))
	m.Weariness = 0
	assert.Equal(t, strays(0), strays(1000), "one who does not weary")
}

// With the chance Wavering a comparison is judged afresh right after the answer:
// where there is no difference and none passes for none, the second judgement is
// the other one every other time, which is then said with the first.
func TestAChangeOfMind(t *testing.T) {
	m := Manner{Noise: 0.1, Wavering: 0.4}
	plain := m
	plain.Wavering = 0
	takenBack := share(func(at Moment) bool {
		a, first := compare(m, at, 0, 0), compare(plain, at, 0, 0)
		if a.First == "" {
			return false
		}
		assert.Equal(t, first.Kind, a.First, "as without wavering")
		assert.NotEqual(t, a.First, a.Kind)
		once := compare(m, again(at), 0, 0)
		assert.Equal(t, a.Kind, once.Kind, "who is asked again stays with the last")
		assert.Empty(t, once.First)
		return true
	})
	assert.InDelta(t, 0.2, takenBack, chance(0.2))
	assert.Zero(t, share(func(at Moment) bool { return compare(m, at, 0, 5).First != "" }), "a plain difference is the same at a second look")
	assert.Zero(t, share(func(at Moment) bool { return compare(plain, at, 0, 0).First != "" }), "one who never wavers")
	m.Noise, m.Difference = 0.01, 0.5
	assert.Zero(t, share(func(at Moment) bool { return compare(m, at, 0, 0).First != "" }), "nor is none")
	m.AsksAgain = 0.5
	assert.Zero(t, share(func(at Moment) bool {
		a := compare(m, at, 0, 0)
		return a.First == Again || a.Kind == Again && a.First != ""
	}))

	left, right := chart.ArrowLimbs(33)
	red, green := chart.DuochromeLines()
	eyes := []*Look{with(bare(4), optics.Sphere(0.5)).Look(standard())}
	m = Manner{Noise: 1, Wavering: 0.5}
	wavered := map[string]int{}
	for i := range 100 {
		for name, a := range map[string]Answer{"limbs": m.Limbs(moment(i), Once(eyes...), left, right), "colours": m.Colours(moment(i), Once(eyes...), red, green)} {
			if a.First != "" {
				wavered[name]++
			}
		}
	}
	assert.Greater(t, wavered["limbs"], 10)
	assert.Greater(t, wavered["colours"], 10)
}

// To be shown again is asked of close comparisons with the chance AsksAgain, of
// plain ones with a quarter of it, and never twice.
func TestAsksToBeShownAgain(t *testing.T) {
	skipInShort(t)
	m := Manner{Difference: 0.1, AsksAgain: 0.4}
	asks := func(at Moment, d float64) bool { return compare(m, at, 0, d).Kind == Again }
	rate := func(d float64) float64 { return share(func(at Moment) bool { return asks(at, d) }) }
	for _, side := range []float64{-1, 1} {
		assert.InDelta(t, 0.4, rate(side*0.199), chance(0.4), "a close call")
		assert.InDelta(t, 0.1, rate(side*0.201), chance(0.1), "a plain difference")
	}
	assert.Zero(t, share(func(at Moment) bool { return asks(again(at), 0) }), "who has seen it again answers")
	m.AsksAgain = 0
	assert.Zero(t, rate(0), "one who never asks")
	left, right := chart.ArrowLimbs(33)
	m.AsksAgain = 0.5
	for i := range 50 {
		assert.NotEqual(t, Again, m.Limbs(moment(i), Once(fogged(30).Look(standard())), left, right).Kind, "that hangs there to be looked at")
	}
}

// Once the task was explained there are fewer lapses, less hesitation, and less
// that is asked to be shown again, by the share Attention.
func TestAnExplanationIsHeeded(t *testing.T) {
	m := Manner{Difference: 0.1, Lapse: 0.3, Hesitation: 0.4}
	shares := func() (strays, unsure, again float64) {
		strays = share(func(at Moment) bool { at.Explained = true; return compare(m, at, 0, 5).Kind != Better })
		calm := m
		calm.Lapse = 0
		unsure = share(func(at Moment) bool { at.Explained = true; return compare(calm, at, 0, 0.09).Kind == Unsure })
		calm.AsksAgain = 0.4
		again = share(func(at Moment) bool { at.Explained = true; return compare(calm, at, 0, 0).Kind == Again })
		return strays, unsure, again
	}
	for _, heed := range []float64{0, 0.5, 1} {
		m.Attention = heed
		strays, unsure, again := shares()
		assert.InDelta(t, 0.2*(1-heed), strays, chance(0.2*(1-heed)), "lapses with attention %v", heed)
		assert.InDelta(t, 0.4*(1-heed), unsure, chance(0.4*(1-heed)), "hesitation with attention %v", heed)
		assert.InDelta(t, 0.4*(1-heed), again, chance(0.4*(1-heed)), "asking again with attention %v", heed)
	}
	without := share(func(at Moment) bool { return compare(m, at, 0, 5).Kind != Better })
	assert.InDelta(t, 0.2, without, chance(0.2), "before it was explained")
}

// An eye that accommodates sees things smaller. That is said when nothing is
// clearer or less clear, and never otherwise.
func TestSmallerAndBlacker(t *testing.T) {
	m := Manner{Difference: 0.1}
	say := func(felt, focus float64) Kind { return m.Compare(moment(0), Glance{}, Glance{felt, focus}).Kind }
	assert.Equal(t, Smaller, say(0, 0.5))
	assert.Equal(t, Same, say(0, 0))
	assert.Equal(t, Same, say(0, -0.5), "larger is no answer")
	assert.Equal(t, Better, say(0.2, 0.5))
	assert.Equal(t, Worse, say(-0.2, 0.5))
}

// Many ways of saying the answer come up.
func TestVariantsDiffer(t *testing.T) {
	seen := map[uint32]bool{}
	for i := range 50 {
		seen[compare(noiseless, moment(i), 0, 1).Variant] = true
	}
	assert.Greater(t, len(seen), 45)
}
