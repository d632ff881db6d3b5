package sitting

import (
	"math"
	"reflect"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// benchOf is the bench of one who was told what the examiner is told.
func benchOf(s Setup) *Bench {
	return NewBench(s.Tested, [2]optics.Rx{s.Eyes[0].Objective, s.Eyes[1].Objective}, s.Room)
}

// A bench without a patient accepts and refuses whatever the sitting does, and
// things stand alike on it, but for the letters, once it is told the time.
func TestABenchAloneDoesAsItsSitting(t *testing.T) {
	t.Parallel()
	setup := nobody("-0.75/-1.75x35")
	seated := Start(setup, Seeded(1))
	actions := anyAction()
	accepted, refused := map[Verb]int{}, map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		setup.Tested = rapid.SampledFrom([]Side{Right, Left}).Draw(t, "tested")
		seated.setup.Tested = setup.Tested
		s, b := seated.Again(Seeded(1)), benchOf(setup)
		agree(t, s, b)
		for n := range 82 { // some, then the end, and one after it
			a := actions.Draw(t, "action")
			if n == 80 {
				a = Action{Do: End, Rx: stated("-1.00/-2.00x30")}
			}
			e, want := s.Do(a)
			got, err := b.Do(a)
			require.Equal(t, want, err, "%+v", a)
			require.Equal(t, e.Action, got)
			if err == nil {
				b.Clock(e.At)
			}
			agree(t, s, b)
			if why, is := err.(*Refusal); is {
				refused[why.ID]++
			} else {
				accepted[a.Do]++
			}
		}
	})
	for v := range durations {
		assert.Positive(t, accepted[v], v)
	}
	assert.Positive(t, accepted[End])
	assert.Positive(t, refused["sitting.over"])
	assert.Greater(t, len(refused), 25, "reasons")
}

// The time that a patient takes over an answer is the patient's: a bench alone
// counts the usual, and is set by the time of the event.
func TestASlowPatient(t *testing.T) {
	t.Parallel()
	setup := nobody("plano")
	for _, slow := range []float64{0, 0.5, 0.33} {
		setup.Manner.Slowness = slow
		s, b := Start(setup, Seeded(1)), benchOf(setup)
		more := math.Round(10*slow*durations[Ask]) / 10
		for n, a := range []Action{{Do: Show, Chart: chart.Fan}, {Do: Ask, Question: patient.WhichLines}, {Do: Explain}, {Do: Ask, Question: patient.WhichLines}} {
			before := s.State().Seconds
			e := do(t, s, a)
			wanted := durations[a.Do]
			if a.Do == Ask {
				wanted += more
			}
			assert.InDelta(t, wanted, e.At-before, 1e-9, "event %d, slowness %v", n, slow)
			assert.Equal(t, e.At, s.State().Seconds)
			_, err := b.Do(a)
			require.NoError(t, err)
			assert.Equal(t, a.Do == Ask && slow > 0, b.State().Seconds < e.At-1e-9)
			b.Clock(e.At)
			assert.Equal(t, s.State(), b.State())
		}
		st, err := s.Retrace()
		require.NoError(t, err)
		for _, m := range st {
			assert.Equal(t, m.At, m.State.Seconds, "in hindsight it took as long")
		}
	}
}

// agree compares all that a bench shows with what its sitting shows.
func agree(t *rapid.T, s *Sitting, b *Bench) {
	want, got := s.State(), b.State()
	require.Empty(t, got.Rows)
	want.Rows = got.Rows
	require.Equal(t, want, got)
	require.Equal(t, s.Questions(), b.Questions())
	require.Equal(t, s.Steps(), b.Steps())
	for _, side := range []Side{Right, Left} {
		require.Equal(t, s.StepsOf(side), b.StepsOf(side))
		wantEnd, wantOver := s.EndPoint(side)
		gotEnd, over := b.EndPoint(side)
		require.Equal(t, wantOver, over)
		require.Equal(t, wantEnd, gotEnd)
	}
}

// anyAction is an action that may make sense, or may not: each field is often
// one that something can come of. The end comes seldom.
func anyAction() *rapid.Generator[Action] {
	var verbs []Verb
	for range 6 {
		verbs = append(verbs, Put, Take, Exchange, Turn, Hold, Lower, Cover, Uncover, Show, Point, Ask, Explain, Note, Turn, Ask, Ask, Show)
	}
	verbs = append(verbs, End, "dance")
	sizes := []*float64{nil, nil, size(0.1), size(0.3), size(0.35)}
	return rapid.Custom(func(t *rapid.T) Action {
		return Action{
			Do:       rapid.SampledFrom(verbs).Draw(t, "verb"),
			Eye:      rapid.SampledFrom([]Side{"", "", "", Right, Right, Left, Left, "both"}).Draw(t, "eye"),
			Cell:     rapid.SampledFrom([]Place{0, 0, 0, In(optics.Back), In(optics.Front1), In(optics.Front2), In(optics.Front3), In(optics.Cells)}).Draw(t, "cell"),
			Lens:     rapid.SampledFrom(someLenses).Draw(t, "lens"),
			OldFirst: rapid.IntRange(0, 3).Draw(t, "old first") == 0,
			NewFirst: rapid.IntRange(0, 3).Draw(t, "new first") == 0,
			Axis:     rapid.SampledFrom([]int{0, 1, 30, 31, 35, 90, 180, 181}).Draw(t, "axis"),
			Chart:    rapid.SampledFrom(append(chart.Names(), "mural")).Draw(t, "chart"),
			Size:     rapid.SampledFrom(sizes).Draw(t, "size"),
			Question: rapid.SampledFrom(append(patient.Questions(), "how are you?")).Draw(t, "question"),
			Field:    rapid.SampledFrom(append(Fields(), "weather")).Draw(t, "field"),
			Text:     rapid.SampledFrom([]string{"+0.50", " 30 ", " "}).Draw(t, "text"),
			Rx:       rapid.SampledFrom([]*optics.Rx{nil, stated("-1.00/-2.00x30"), {Sphere: -1, Cyl: -2}}).Draw(t, "rx"),
			Acuity:   rapid.SampledFrom([]patient.Acuity{{}, acuity("6/6"), {LogMAR: 0.1}}).Draw(t, "acuity"),
		}
	})
}

// someLenses are pieces that the frames have, others of the set, and some that it
// lacks.
var someLenses = []optics.Lens{
	{}, piece("-0.75"), piece("-1.75x35"), piece("+0.25"), piece("+0.50"), piece("-0.25x90"),
	piece("-1.00 cyl"), piece("pinhole"), piece("occluder"), piece("+0.30"), piece("+1.00x30"),
}

// Letters hang until a chart is shown, and are nobody else's.
func TestLettersAreHung(t *testing.T) {
	t.Parallel()
	b := benchOf(nobody("plano"))
	rows := []patient.RowRead{{LogMAR: 0.3, Shown: "K"}}
	for _, c := range []struct {
		then  Action
		stays bool
	}{
		{Action{Do: Show, Chart: chart.Letter}, false},
		{Action{Do: Cover}, true},
		{Action{Do: Ask, Question: patient.ReadLetters}, true},
		{Action{Do: Show, Chart: chart.Letter, Size: size(0.2)}, false},
		{Action{Do: Show, Chart: chart.Letters}, false},
		{Action{Do: Show, Chart: chart.Fan}, false},
	} {
		if b.State().Chart != chart.Letter || b.State().Size != 0.3 {
			_, err := b.Do(Action{Do: Show, Chart: chart.Letter, Size: size(0.3)})
			require.NoError(t, err)
		}
		b.Hang(rows)
		_, err := b.Do(c.then)
		require.NoError(t, err)
		assert.Equal(t, c.stays, len(b.State().Rows) > 0, "%+v", c.then)
	}
	b.Hang(rows)
	rows[0].Shown = "N"
	b.State().Rows[0].Shown = "D"
	b.State().Card[FogField] = "+1.00"
	assert.Equal(t, "K", b.State().Rows[0].Shown)
	assert.Empty(t, b.State().Card)
}

// Steps and end points are of the eye that is tested, wherever the lenses go.
func TestStepsAndEndPointsAreOfAnEye(t *testing.T) {
	t.Parallel()
	for _, side := range []Side{Right, Left} {
		setup := nobody("plano")
		setup.Tested = side
		s := Start(setup, Seeded(1))
		do(t, s, Action{Do: Put, Eye: side.Other(), Lens: piece("+1.00")}, Action{Do: Show, Chart: chart.Fan})
		assert.Equal(t, Steps{Lens: 1, Chart: 1}, s.StepsOf(side))
		assert.Zero(t, s.StepsOf(side.Other()))
		assert.Equal(t, s.StepsOf(side), s.Steps())
		do(t, s, Action{Do: End, Rx: stated("-1.00")})
		_, over := s.EndPoint(side)
		assert.True(t, over)
		_, over = s.EndPoint(side.Other())
		assert.False(t, over)
	}
	b := Bench{steps: [2]Steps{{1, 2, 3}, {10, 20, 30}}}
	assert.Equal(t, Steps{11, 22, 33}, b.Steps())
}

// Nothing of the patient is on a bench, nor anything that the patient's side
// could be hidden behind.
func TestABenchReachesNoPatient(t *testing.T) {
	t.Parallel()
	bench := reflect.TypeFor[Bench]()
	for _, secret := range []reflect.Type{
		reflect.TypeFor[eye.Eye](), reflect.TypeFor[patient.Manner](), reflect.TypeFor[Key](), reflect.TypeFor[EyeSetup](), // which has the error
		reflect.TypeFor[Setup](), reflect.TypeFor[Truth](), reflect.TypeFor[Sitting](),
	} {
		assert.False(t, holds(bench, secret), secret)
		assert.True(t, holds(reflect.TypeFor[Sitting](), secret), "the search itself works: %v", secret)
	}
	for _, kind := range []reflect.Kind{reflect.Interface, reflect.Func, reflect.Chan, reflect.UnsafePointer} {
		assert.False(t, reaches(bench, func(t reflect.Type) bool { return t.Kind() == kind }), kind)
	}
}
