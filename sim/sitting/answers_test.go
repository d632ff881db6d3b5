package sitting

import (
	"testing"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// routine is a piece of an examination with questions of every kind.
var routine = []Action{
	{Do: Cover, Eye: Left},
	{Do: Show, Chart: chart.Letters}, {Do: Ask, Question: patient.ReadLetters},
	{Do: Take, Cell: In(optics.Front1)}, {Do: Exchange, Lens: piece("-0.50")},
	{Do: Show, Chart: chart.Fan}, {Do: Ask, Question: patient.WhichLines}, {Do: Ask, Question: patient.WhichLines, Leading: "180"},
	{Do: Hold, Lens: piece("+0.50")}, {Do: Ask, Question: patient.WithLens}, {Do: Lower},
	{Do: Show, Chart: chart.Arrow}, {Do: Point, Axis: 40}, {Do: Ask, Question: patient.WhichLimb},
	{Do: Show, Chart: chart.Blocks}, {Do: Put, Lens: piece("-1.50x30")}, {Do: Ask, Question: patient.WhichBlock},
	{Do: Ask, Question: patient.OneOrTwo},
	{Do: Show, Chart: chart.Duochrome}, {Do: Ask, Question: patient.WhichColour},
	{Do: Show, Chart: chart.Letter, Size: size(0.4)}, {Do: Ask, Question: patient.ReadLetters},
	{Do: End, Rx: stated("-0.50/-1.50x30")},
}

func routineSetup() Setup {
	return person("everyday", 6, "-1.00/-2.00x30", "-1.00/-0.50x90", "-0.75/-1.75x35")
}

func TestSameCaseSeedAndActionsSameAnswers(t *testing.T) {
	t.Parallel()
	once, _ := logged()
	twice, other := Start(routineSetup(), Seeded(1)), Start(routineSetup(), Seeded(2))
	do(t, twice, routine...)
	do(t, other, routine...)
	assert.Equal(t, asJSON(t, once.Events()), asJSON(t, twice.Events()))
	assert.Equal(t, once.State(), twice.State())
	assert.NotEqual(t, asJSON(t, once.Events()), asJSON(t, other.Events()), "another seed is another day")
}

// Every chart can be shown, hangs there, and has its question answered.
func TestEveryChartCanBeUsed(t *testing.T) {
	t.Parallel()
	s := Start(nobody("-0.50"), Seeded(1))
	for _, c := range chart.All() {
		e := do(t, s, Action{Do: Show, Chart: c.Name})
		assert.Equal(t, c.Sized, e.Action.Size != nil, c.Name)
		st := s.State()
		_, hangs := st.Wall(chart.ByAxis)
		assert.True(t, hangs, c.Name)
		_, err := s.Do(Action{Do: Point, Axis: 60})
		assert.Equal(t, c.Pointed, err == nil, c.Name)
		q := patient.QuestionOn(c.Kind)
		require.Equal(t, q, s.Questions()[0], c.Name)
		assert.NotEmpty(t, do(t, s, Action{Do: Ask, Question: q}).Answer.Kind, c.Name)
	}
	assert.Empty(t, patient.QuestionOn(""))
}

// However one comes to a view, the same question about it gets the same answer.
func TestOtherQuestionsBeforeDoNotChangeAnAnswer(t *testing.T) {
	t.Parallel()
	setup := person("keen", 0, "-1.00/-2.00x30", "-1.00", "-0.50")
	fan := []Action{{Do: Show, Chart: chart.Fan}, {Do: Ask, Question: patient.WhichLines}}
	letters := []Action{{Do: Show, Chart: chart.Letters}, {Do: Ask, Question: patient.ReadLetters}}
	arrow := []Action{{Do: Show, Chart: chart.Arrow}, {Do: Point, Axis: 33}, {Do: Ask, Question: patient.WhichLimb}}
	lens := []Action{{Do: Hold, Lens: piece("+0.50")}, {Do: Show, Chart: chart.Clock}, {Do: Ask, Question: patient.WithLens}, {Do: Lower}}

	first := Start(setup, Seeded(1))
	do(t, first, Action{Do: Cover, Eye: Left})
	a := do(t, first, fan...).Answer
	b := do(t, first, letters...).Answer
	c := do(t, first, arrow...).Answer
	second := Start(setup, Seeded(1))
	do(t, second, Action{Do: Cover, Eye: Left})
	do(t, second, lens...)
	assert.Equal(t, c, do(t, second, arrow...).Answer)
	assert.Equal(t, b, do(t, second, letters...).Answer)
	assert.Equal(t, a, do(t, second, fan...).Answer)
}

// Nobody learns the letters by heart: at each showing others hang there, and what
// was shown by then is the same again for who does the same.
func TestLettersAreDrawnAfreshAtEachShowing(t *testing.T) {
	t.Parallel()
	s, other := Start(nobody("plano"), Seeded(1)), Start(nobody("plano"), Seeded(1))
	show := func(s *Sitting, a Action) []patient.RowRead {
		do(t, s, a)
		return s.State().Rows
	}
	letters := Action{Do: Show, Chart: chart.Letters}
	first := show(s, letters)
	assert.Equal(t, first, s.State().Rows, "as long as they hang")
	do(t, s, Action{Do: Show, Chart: chart.Fan})
	second := show(s, letters)
	assert.NotEqual(t, first, second)
	assert.NotEqual(t, second, show(s, letters), "shown again")
	assert.Equal(t, first, show(other, letters))
	assert.Equal(t, second, show(other, letters))
	do(t, s, Action{Do: Ask, Question: patient.ReadLetters})
	assert.Equal(t, 1, s.moment(Action{Question: patient.ReadLetters}).Asked)
	do(t, s, letters)
	assert.Zero(t, s.moment(Action{Question: patient.ReadLetters}).Asked, "nothing was asked about these letters yet")
	single := Action{Do: Show, Chart: chart.Letter, Size: size(0.2)}
	seen := map[string]bool{}
	for range 12 {
		seen[show(s, single)[0].Shown] = true
	}
	assert.Greater(t, len(seen), 3)
}

// Two people who are examined alike see the same letters.
func TestTheLettersComeFromTheSeed(t *testing.T) {
	t.Parallel()
	s, other, later := Start(nobody("-1.00"), Seeded(1)), Start(nobody("plano"), Seeded(1)), Start(nobody("-1.00"), Seeded(2))
	for _, x := range []*Sitting{s, other, later} {
		do(t, x, Action{Do: Show, Chart: chart.Letters})
	}
	rows := s.State().Rows
	assert.Equal(t, rows, other.State().Rows)
	assert.NotEqual(t, rows, later.State().Rows)
	for i, row := range rows {
		assert.Len(t, row.Shown, 5)
		assert.Empty(t, row.Said)
		seen := map[rune]bool{}
		for _, r := range row.Shown {
			assert.False(t, seen[r], "no letter twice in a row: %s", row.Shown)
			seen[r] = true
		}
		if i > 0 {
			assert.Less(t, row.LogMAR, rows[i-1].LogMAR, "largest first")
		}
	}
	do(t, s, Action{Do: Show, Chart: chart.Letter, Size: size(0.2)})
	require.Len(t, s.State().Rows, 1)
	assert.Len(t, s.State().Rows[0].Shown, 1)
	assert.Equal(t, 0.2, s.State().Rows[0].LogMAR)
	do(t, s, Action{Do: Show, Chart: chart.Fan})
	assert.Empty(t, s.State().Rows)
}

// A student who leaves the wrong eye open hears about that eye: a patient with
// both eyes open goes by the better image.
func TestTheOpenEyeAnswers(t *testing.T) {
	t.Parallel()
	// Behind plano the right eye's back line lies 0.75 D before the retina, the
	// left eye's 0.25 D.
	s := Start(person("noiseless", 0, "-0.75/-2.00x30", "-0.25/-1.50x120", "plano"), Seeded(1))
	fan := func() float64 { return label(t, ask(t, s, chart.Fan, patient.WhichLines)) }
	assert.Equal(t, 120.0, fan(), "both eyes are open")
	do(t, s, Action{Do: Cover, Eye: Left})
	assert.Equal(t, 30.0, fan(), "the right eye alone")
	do(t, s, Action{Do: Uncover, Eye: Left}, Action{Do: Cover, Eye: Right})
	assert.Equal(t, 120.0, fan(), "the left eye alone: the wrong one is covered")
	do(t, s, Action{Do: Uncover, Eye: Right}, Action{Do: Put, Eye: Right, Lens: piece("occluder")})
	assert.Equal(t, 120.0, fan(), "an occluder in the frame covers as well")
	do(t, s, Action{Do: Cover, Eye: Left})
	assert.Equal(t, patient.Blurred, ask(t, s, chart.Fan, patient.WhichLines).Kind, "no eye is open")
	assert.Equal(t, patient.Blurred, ask(t, s, chart.Letters, patient.ReadLetters).Kind)
	do(t, s, Action{Do: Take, Eye: Right, Lens: piece("occluder")})
	assert.Equal(t, 30.0, fan())
}

// The lenses of the frame are what the answers hang on.
func TestAnswersFollowTheLenses(t *testing.T) {
	t.Parallel()
	s := Start(person("noiseless", 0, "-1.00/-2.00x30", "-1.00", "-0.50"), Seeded(1))
	do(t, s, Action{Do: Cover, Eye: Left})
	assert.Equal(t, 30.0, label(t, ask(t, s, chart.Fan, patient.WhichLines)))
	do(t, s, Action{Do: Put, Lens: piece("-0.75x120")}) // along the line instead of across
	assert.Equal(t, 30.0, label(t, ask(t, s, chart.Fan, patient.WhichLines)), "what is wrong has grown")
	do(t, s, Action{Do: Turn, Axis: 30}, Action{Do: Exchange, Lens: piece("-2.75 cyl")})
	assert.Equal(t, 120.0, label(t, ask(t, s, chart.Fan, patient.WhichLines)), "so much too much that the front line is the nearer")

	do(t, s, Action{Do: Exchange, Lens: piece("-2.00 cyl")}, Action{Do: Exchange, Lens: piece("-1.00")})
	sharp := ask(t, s, chart.Letters, patient.ReadLetters)
	do(t, s, Action{Do: Hold, Lens: piece("+1.00")})
	assert.Equal(t, patient.Worse, do(t, s, Action{Do: Ask, Question: patient.WithLens}).Answer.Kind)
	blurred := do(t, s, Action{Do: Ask, Question: patient.ReadLetters}).Answer
	assert.Greater(t, blurred.LogMAR, sharp.LogMAR+0.15, "a dioptre of fog costs rows")
	do(t, s, Action{Do: Lower})
	assert.Equal(t, sharp, *do(t, s, Action{Do: Ask, Question: patient.ReadLetters}).Answer, "the same view, the same answer")
	do(t, s, Action{Do: Exchange, Lens: piece("+0.50")})
	assert.Equal(t, patient.Worse, do(t, s, Action{Do: Ask, Question: patient.OneOrTwo}).Answer.Kind)
	do(t, s, Action{Do: Exchange, Lens: piece("-1.00")})
	assert.Equal(t, patient.Better, do(t, s, Action{Do: Ask, Question: patient.OneOrTwo}).Answer.Kind)

	// A pinhole sharpens what defocus blurs (common practice).
	do(t, s, Action{Do: Exchange, Lens: piece("+1.00")})
	open := ask(t, s, chart.Letters, patient.ReadLetters)
	do(t, s, Action{Do: Put, Lens: piece("pinhole")})
	assert.Less(t, ask(t, s, chart.Letters, patient.ReadLetters).LogMAR, open.LogMAR-0.15)
}

// With both eyes open the dominant one is gone by where the images are about
// alike, also in comparisons, and in hindsight.
func TestTheDominantEyeAnswers(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		dominance, axis float64
		blurred         patient.Kind
	}{{0.9, 30, patient.Same}, {-0.9, 120, patient.Worse}} {
		setup := person("noiseless", 0, "-0.50/-1.50x30", "-0.50/-1.50x120", "plano")
		setup.Manner.Dominance = c.dominance
		s := Start(setup, Seeded(1))
		assert.Equal(t, c.axis, label(t, ask(t, s, chart.Fan, patient.WhichLines)))
		e := do(t, s, Action{Do: Put, Eye: Left, Lens: piece("+0.25")}, Action{Do: Ask, Question: patient.OneOrTwo})
		assert.Equal(t, c.blurred, e.Answer.Kind, "the left eye alone was fogged, dominance %v", c.dominance)
		assert.Equal(t, c.blurred, ask(t, s, chart.Blocks, patient.OneOrTwo).Kind)
		st, err := s.Retrace()
		require.NoError(t, err)
		for _, m := range st {
			assert.Equal(t, m.Answer, m.Noiseless)
		}
	}
}

// A chart that hangs nearer sends more divergent light: at one metre instead
// of six an eye that cannot accommodate lacks 1/1 - 1/6 dioptres.
func TestDistanceOfTheChart(t *testing.T) {
	t.Parallel()
	far := person("noiseless", 0, "plano", "plano", "plano")
	near := far
	near.Room.Distance = 1
	a, b := Start(far, Seeded(1)), Start(near, Seeded(1))
	left := func(s *Sitting) float64 { return s.sight(Right, s.bench.state.Frames, 0).Pupil.Residual.M }
	assert.InDelta(t, 1.0/6-1, left(b)-left(a), 1e-9)
	assert.InDelta(t, a.Truth(Right).Balance.M, left(a), 1e-9, "the truth is meant for six metres")
	for _, s := range []*Sitting{a, b} {
		do(t, s, Action{Do: Cover, Eye: Left})
	}
	sharp := ask(t, a, chart.Letters, patient.ReadLetters).LogMAR
	assert.Greater(t, ask(t, b, chart.Letters, patient.ReadLetters).LogMAR, sharp+0.15)
	do(t, b, Action{Do: Put, Lens: piece("+0.75")})
	assert.InDelta(t, sharp, ask(t, b, chart.Letters, patient.ReadLetters).LogMAR, 0.1)
}

// Plus must not be missing for a moment, or a young eye accommodates: a new plus
// lens goes in before the old one comes out, and an old minus lens comes out
// before the new one goes in (common practice). So it is done unless the
// examiner wants it otherwise.
func TestOrderOfAnExchange(t *testing.T) {
	t.Parallel()
	young := func(err, found string) *Sitting {
		s := Start(person("noiseless", 8, err, err, found), Seeded(1))
		do(t, s, Action{Do: Cover, Eye: Left})
		return s
	}
	after := func(s *Sitting, a Action) float64 {
		do(t, s, Action{Do: Explain}, Action{Do: Explain}) // time to relax
		assert.Zero(t, s.effort.Focus, "fogged")
		a.Do = Exchange
		do(t, s, a)
		return s.effort.Focus
	}
	hyperope := young("+2.00", "+2.50")
	const quiet = 0.1 // two lenses blur all there is, but for a moment only
	assert.InDelta(t, 0, after(hyperope, Action{Lens: piece("+2.75"), NewFirst: true}), quiet)
	assert.InDelta(t, 0, after(hyperope, Action{Lens: piece("+2.50")}), quiet)
	assert.Greater(t, after(hyperope, Action{Lens: piece("+2.75"), OldFirst: true}), 0.2)
	hyperope.setup.Eyes[0].Amplitude = 0
	hyperope.wants = newRecent[view, patient.Demand](mostWanted)
	assert.Zero(t, after(hyperope, Action{Lens: piece("+2.50"), OldFirst: true}), "who cannot accommodate does not")

	myope := young("-1.00", "-0.50")
	assert.InDelta(t, 0, after(myope, Action{Lens: piece("-0.75"), OldFirst: true}), quiet)
	assert.InDelta(t, 0, after(myope, Action{Lens: piece("-1.00")}), quiet)
	assert.Greater(t, after(myope, Action{Lens: piece("-0.75"), NewFirst: true}), 0.1)
}

func TestAccommodationRelaxesUnderFog(t *testing.T) {
	t.Parallel()
	s := Start(person("noiseless", 8, "+2.00", "+2.00", "plano"), Seeded(1))
	do(t, s, Action{Do: Cover, Eye: Left}, Action{Do: Show, Chart: chart.Letters})
	assert.InDelta(t, 2, s.effort.Focus, 0.5, "a young hyperope without his lens")
	do(t, s, Action{Do: Put, Lens: piece("+3.00")})
	tense := s.effort.Focus
	assert.Positive(t, tense, "it does not let go at once")
	do(t, s, Action{Do: Explain})
	assert.Less(t, s.effort.Focus, tense/2)
	do(t, s, Action{Do: Explain}, Action{Do: Explain})
	assert.Zero(t, s.effort.Focus)
}

// "Now, or before?" is about what was before the last change, whatever the
// sitting began with. An unbroken turn is one change.
func TestBeforeIsBeforeTheLastChange(t *testing.T) {
	t.Parallel()
	now := func(s *Sitting, actions ...Action) patient.Kind {
		do(t, s, actions...)
		return do(t, s, Action{Do: Ask, Question: patient.OneOrTwo}).Answer.Kind
	}
	s := Start(person("noiseless", 0, "-1.00", "-1.00", "plano"), Seeded(1))
	do(t, s, Action{Do: Cover, Eye: Left}, Action{Do: Show, Chart: chart.Letters})
	assert.Equal(t, patient.Better, now(s, Action{Do: Put, Lens: piece("-1.00")}), "against nothing")
	assert.Equal(t, patient.Worse, now(s, Action{Do: Exchange, Lens: piece("-0.50")}), "against −1.00, though better than at the beginning")
	assert.Equal(t, patient.Worse, now(s, Action{Do: Hold, Lens: piece("+0.25")}, Action{Do: Lower}), "a lens held up is no change")
	assert.Equal(t, patient.Better, now(s, Action{Do: Exchange, Lens: piece("-0.75")}))

	s = Start(person("noiseless", 0, "-1.00/-2.00x30", "-1.00", "-1.00/-2.00x30"), Seeded(1))
	do(t, s, Action{Do: Cover, Eye: Left}, Action{Do: Show, Chart: chart.Fan})
	assert.Equal(t, patient.Same, now(s, Action{Do: Turn, Axis: 60}, Action{Do: Turn, Axis: 30}), "there and back in one turn")
	assert.Equal(t, patient.Worse, now(s, Action{Do: Turn, Axis: 60}))
	assert.Equal(t, patient.Better, now(s, Action{Do: Turn, Axis: 30}), "the question made it another turn")
}
