package asked

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/sim/expert"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// twin is the same person with the same luck as the simulated patient, seated apart.
type twin struct{ *sitting.Sitting }

func twinOf(x *Examination) twin { return twin{x.patient.Again(x.patient.Keys())} }

// says does before the twin what a question tells of, and has it answered.
func (w twin) says(t *testing.T, q *Question) (a patient.Answer) {
	t.Helper()
	for _, act := range q.Deeds {
		_, err := w.Do(act)
		require.NoError(t, err)
	}
	for range 2 {
		e, err := w.Do(q.Action)
		require.NoError(t, err)
		if a = *e.Answer; a.Kind != patient.Again {
			break
		}
	}
	return a
}

// Who answers as the simulated patient would has the expert find what it finds of
// that patient. Each of the library is examined twice, so that this takes some seconds
// of a processor; it is done for all at once.
func TestTheExpertFindsTheSameOfWhoAnswersAsThePatient(t *testing.T) {
	library := cases.Library()
	if testing.Short() {
		library = library[:3]
	}
	for _, c := range library {
		t.Run(c.ID, func(t *testing.T) {
			t.Parallel()
			x, err := Sit(c.Setup(), sitting.Seeded(5), nil)
			require.NoError(t, err)
			student, examined := twinOf(x), twinOf(x)
			want, err := expert.Examine(examined, expert.BriefOf(c.Setup()))
			require.NoError(t, err)
			for x.Asks() != nil {
				require.NoError(t, x.Answer(student.says(t, x.Asks())))
			}
			require.NotNil(t, x.Result())
			assert.Equal(t, want.Rx, x.Result().Rx)
			assert.Equal(t, want.LogMAR, x.Result().LogMAR)
			assert.Equal(t, want.Doubts, x.Result().Doubts)
			assert.Empty(t, x.Differing())
			assert.Less(t, len(x.Replies()), 45, "far from the bound")
			assert.Equal(t, c.Setup().Eyes[x.Tested().Index()].Error, x.Truth().Error)
		})
	}
}

// nobody is a case whose eyes let nothing in: for what hangs on no image, and spares
// working one out.
func nobody() sitting.Setup {
	setup := cases.Library()[0].Setup()
	for i := range setup.Eyes {
		setup.Eyes[i].Eye.Pupil = 0
	}
	return setup
}

// answering has somebody answer whatever is asked, to the end.
func answering(t *testing.T, x *Examination, says func(*Question) patient.Answer) {
	t.Helper()
	for n := 0; x.Asks() != nil; n++ {
		require.Less(t, n, Most, "it goes on and on")
		require.NoError(t, x.Answer(says(x.Asks())))
	}
	require.LessOrEqual(t, len(x.Replies()), Most)
}

// Who always says the same, or names always the same line, is examined to an end.
func TestWhoAlwaysSaysTheSameDoesNotHangIt(t *testing.T) {
	for _, last := range []bool{false, true} {
		for at := range 4 {
			x, err := Sit(nobody(), sitting.Seeded(1), nil)
			require.NoError(t, err)
			answering(t, x, func(q *Question) patient.Answer {
				kinds := Kinds(q.Action.Question)
				switch {
				case last && q.Action.Question == patient.WhichLines:
					return Named([]float64{50})
				case last && q.Action.Question == patient.ReadLetters:
					return ReadTo(q.State.Rows, 6, 0)
				}
				return patient.Answer{Kind: kinds[min(at, len(kinds)-1)]}
			})
		}
	}
}

// atRandom answers without looking.
func atRandom(r *rand.Rand) func(*Question) patient.Answer {
	return func(q *Question) patient.Answer {
		kinds := Kinds(q.Action.Question)
		switch {
		case q.Action.Question == patient.WhichLines && r.IntN(2) == 0:
			return Named([]float64{10 * float64(r.IntN(18))})
		case q.Action.Question == patient.ReadLetters && r.IntN(4) > 0:
			return ReadTo(q.State.Rows, r.IntN(14), r.IntN(5))
		}
		return patient.Answer{Kind: kinds[r.IntN(len(kinds))]}
	}
}

// Who answers at random is examined to an end: some to the expert's own, and some to
// the bound.
func TestWhoAnswersAtRandomDoesNotHangIt(t *testing.T) {
	found, bound := 0, 0
	seated, err := Sit(nobody(), sitting.Seeded(1), nil)
	require.NoError(t, err)
	for seed := range uint64(80) {
		x := *seated
		x.patient = seated.patient.Again(sitting.Seeded(1))
		require.NoError(t, x.follow(x.acts))
		answering(t, &x, atRandom(rand.New(rand.NewPCG(1, seed))))
		if x.Result() != nil {
			found++
		} else {
			bound++
			assert.Len(t, x.Replies(), Most)
		}
	}
	assert.Positive(t, bound)
	assert.Greater(t, found, bound)
}

// The comparison has those answers that the simulated patient gave otherwise, and no
// others: here the user says the opposite each third time.
func TestTheComparisonHasWhatDiffers(t *testing.T) {
	x, err := Sit(cases.Library()[0].Setup(), sitting.Seeded(5), nil)
	require.NoError(t, err)
	student := twinOf(x)
	var otherwise []patient.Question
	for n := 0; x.Asks() != nil; n++ {
		a, q := student.says(t, x.Asks()), x.Asks().Action.Question
		if n%3 == 0 {
			a = opposite(a)
			otherwise = append(otherwise, q)
		}
		require.NoError(t, x.Answer(a))
	}
	require.NotEmpty(t, otherwise)
	var differing []patient.Question
	for _, r := range x.Differing() {
		differing = append(differing, r.Action.Question)
		assert.NotEqual(t, r.Mine.Kind, r.Theirs.Kind)
		assert.NotEmpty(t, r.Calm.Kind, "what the image held")
	}
	assert.Equal(t, otherwise, differing)
	decided := 0
	for _, r := range x.Replies() {
		kept := x.Kept(r)
		switch r.Calm.Kind {
		case patient.Left, patient.Parallel, patient.RedClearer:
			assert.Greater(t, kept[0], kept[1])
			decided++
		case patient.Right, patient.Perpendicular, patient.GreenClearer:
			assert.Less(t, kept[0], kept[1])
			decided++
		}
	}
	assert.Greater(t, decided, 3, "what is said without noise is said of the clearer one")
}

// Who wants to be shown something again is, and the user needs not wait for it.
func TestThePatientWhoWantsToSeeItAgain(t *testing.T) {
	setup := nobody()
	setup.Manner.AsksAgain = 3
	x, err := Sit(setup, sitting.Seeded(1), nil)
	require.NoError(t, err)
	answering(t, x, func(q *Question) patient.Answer { return patient.Answer{Kind: Kinds(q.Action.Question)[0]} })
	put := 0
	for _, e := range x.patient.Events() {
		if e.Answer != nil && e.Answer.Kind == patient.Again {
			put++
		}
	}
	require.Positive(t, put)
	for _, r := range x.Replies() {
		assert.NotEqual(t, patient.Again, r.Theirs.Kind)
	}
}

// opposite is an answer of another kind.
func opposite(a patient.Answer) patient.Answer {
	if a.Kind == patient.Blurred {
		return patient.Answer{Kind: patient.Left}
	}
	return patient.Answer{Kind: patient.Blurred}
}

// A stop at any time leaves what there is so far.
func TestItCanBeStoppedAtAnyTime(t *testing.T) {
	x, err := Sit(nobody(), sitting.Seeded(1), nil)
	require.NoError(t, err)
	require.NoError(t, x.Answer(Named([]float64{60})))
	require.NotNil(t, x.Asks())
	require.NoError(t, x.Stop())
	assert.Nil(t, x.Asks())
	assert.Nil(t, x.Result())
	assert.Len(t, x.Replies(), 1)
	require.NoError(t, x.Answer(Named(nil)), "nothing is asked any more")
	assert.Len(t, x.Replies(), 1)
}

// What is compared with: the frame before the lens was held up, and before the last
// lens was changed.
func TestWhatALensIsComparedWith(t *testing.T) {
	x, err := Sit(nobody(), sitting.Seeded(1), nil)
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(1, 3))
	letters := 25 // that are read; two more each time, too few to be kept without a word
	met := map[patient.Question]bool{}
	answering(t, x, func(q *Question) patient.Answer {
		met[q.Action.Question] = true
		now, was := q.Now.Frame(), q.Before.Frame()
		switch q.Action.Question {
		case patient.WithLens:
			assert.Equal(t, now.Lenses, was.Lenses)
			assert.NotEqual(t, now.Held, was.Held)
		case patient.OneOrTwo:
			assert.NotEqual(t, now.Lenses, was.Lenses)
			assert.Equal(t, now.Held, was.Held)
		case patient.ReadLetters:
			letters += 2
			return ReadTo(q.State.Rows, letters/5-1, letters%5)
		default:
			assert.False(t, q.Compare)
		}
		return atRandom(r)(q)
	})
	assert.True(t, met[patient.WithLens] && met[patient.OneOrTwo], "%v", met)
}
