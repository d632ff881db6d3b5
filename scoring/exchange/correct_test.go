package exchange

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/fact"
)

// held is what a store holds after statements: one a UUID for ever, and what was voided
// is not told any more (xAPI 1.0.3, Data, section 2.3.2; Communication, section 2.1).
func held(t *testing.T, posts ...[]Statement) map[string]Statement {
	all, gone := map[string]Statement{}, map[string]bool{}
	for _, post := range posts {
		_, err := EncodeStatements(post)
		require.NoError(t, err)
		for _, s := range post {
			if before, there := all[s.ID]; there {
				assert.Equal(t, before, s, "nothing is put in the place of another")
			}
			all[s.ID] = s
			if s.Verb.ID == voided {
				gone[s.Object.ID] = true
			}
		}
	}
	told := map[string]Statement{}
	for id, s := range all {
		if !gone[id] && s.Verb.ID != voided {
			told[s.Verb.ID[len(verbs):]] = s
		}
	}
	return told
}

func TestAChangedMarkVoidsTheOldOne(t *testing.T) {
	at := time.Date(2031, 4, 5, 9, 0, 0, 0, time.UTC)
	say := func(change func(*Sitting)) []Statement {
		out, err := Statements(with(change), home, inEnglish)
		require.NoError(t, err)
		return out
	}
	correct := func(now, sent []Statement, day int) []Statement {
		data, err := EncodeStatements(sent)
		require.NoError(t, err)
		read, err := ReadStatements("statements.json", data)
		require.NoError(t, err)
		out, err := Correct(now, read, at.AddDate(0, 0, day), home, inEnglish)
		require.NoError(t, err)
		return out
	}
	plain := func(*Sitting) {}
	first := say(plain)
	assert.Equal(t, first, correct(say(plain), first, 0), "nothing has changed")

	fewer := func(s *Sitting) { failed := false; s.Points, s.Passed = 9, &failed }
	second := correct(say(fewer), first, 1)
	require.Len(t, second, 6, "two are voided, two as before, two new")
	assert.Equal(t, voided, second[0].Verb.ID)
	assert.Equal(t, "StatementRef", second[0].Object.ObjectType)
	told := held(t, first, second)
	assert.Equal(t, 9.0, told["scored"].Result.Score.Raw)
	assert.Contains(t, told, "failed")
	assert.NotContains(t, told, "passed")
	assert.Len(t, told, 4)
	for _, i := range []int{0, 1} {
		assert.Equal(t, first[i].ID, told[first[i].Verb.ID[len(verbs):]].ID, "what is as before keeps its UUID")
	}

	third := correct(say(plain), second, 2)
	told = held(t, first, second, third)
	assert.Equal(t, 17.0, told["scored"].Result.Score.Raw, "a mark that is changed back is heard again")
	assert.Contains(t, told, "passed")
	assert.Len(t, told, 4)

	fourth := correct(say(fewer), third, 3)
	told = held(t, first, second, third, fourth)
	assert.Equal(t, 9.0, told["scored"].Result.Score.Raw, "and once more")
	assert.Len(t, told, 4)

	none := correct(nil, fourth, 4)
	assert.Empty(t, held(t, first, second, third, fourth, none), "the case was withdrawn")

	assert.Equal(t, second, correct(say(fewer), second, 2), "what took the place of something keeps its UUID as well")

	assert.NotEqual(t, second[0].ID, correct(say(fewer), first, 2)[0].ID, "what is voided at another time is said anew")
	more, err := EncodeStatements(first)
	require.NoError(t, err)
	_, err = ReadStatements("statements.json", append(more, ' '))
	assert.Error(t, err, "somebody changed it")

	two := func(points float64) []Statement {
		return append(say(plain), say(func(s *Sitting) { s.Registration, s.Points = Registration("another"), points })...)
	}
	assert.Equal(t, two(12), correct(two(12), two(12), 1))
	other := correct(two(9), two(12), 1)
	assert.Equal(t, first, other[len(other)-2*len(first):len(other)-len(first)], "a sitting is told from another by its registration")

	both := correct(say(fewer), append(first[:len(first):len(first)], second...), 2)
	assert.Len(t, both, 6, "what was voided already is not voided again")
}

// What was withdrawn and counts again is told anew, each time: what is void stays void.
func TestWhatIsSaidAgainAfterItWasVoided(t *testing.T) {
	at := time.Date(2031, 4, 5, 9, 0, 0, 0, time.UTC)
	say := func(points float64) []Statement {
		out, err := Statements(with(func(s *Sitting) { s.Points = points }), home, inEnglish)
		require.NoError(t, err)
		return out
	}
	posts := [][]Statement{say(17)}
	for day, now := range [][]Statement{nil, say(17), nil, nil, say(17), say(9), nil, say(9), say(17)} {
		last := posts[len(posts)-1]
		next, err := Correct(slices.Clone(now), last, at.AddDate(0, 0, day), home, inEnglish)
		require.NoError(t, err)
		posts = append(posts, next)
		told := held(t, posts...)
		require.Len(t, told, len(now), "after day %d", day)
		for _, s := range now {
			assert.Equal(t, s.Result, told[s.Verb.ID[len(verbs):]].Result, "after day %d", day)
		}
	}
}

// A report in another language says nothing new: only what has changed is said anew.
func TestAnotherLanguageChangesNoMark(t *testing.T) {
	at := time.Date(2031, 4, 5, 9, 0, 0, 0, time.UTC)
	german := Words{Language: "de", Say: func(f fact.Fact) string { return "auf Deutsch: " + f.ID }}
	say := func(points float64, w Words) []Statement {
		out, err := Statements(with(func(s *Sitting) { s.Points = points }), home, w)
		require.NoError(t, err)
		return out
	}
	first := say(17, inEnglish)
	again, err := Correct(say(17, german), first, at, home, german)
	require.NoError(t, err)
	assert.Equal(t, first, again, "as they were sent: a store takes nothing else under their UUIDs")

	fewer, err := Correct(say(9, german), first, at, home, german)
	require.NoError(t, err)
	told := held(t, first, fewer)
	assert.Len(t, told, 4)
	assert.Equal(t, 9.0, told["scored"].Result.Score.Raw)
	assert.Equal(t, "de", told["scored"].Context.Language)
	assert.Equal(t, first[0], told["attempted"])
}

// What was sent of a candidate who is forgotten can still be voided, and what is kept for that
// tells nothing of them. Of the others a later report still knows what was sent.
func TestWhatWasSentOfACandidateIsForgotten(t *testing.T) {
	at := time.Date(2031, 4, 5, 9, 0, 0, 0, time.UTC)
	say := func(candidate string, points float64) []Statement {
		out, err := Statements(with(func(s *Sitting) {
			s.Candidate, s.Registration, s.Points = candidate, Registration(candidate), points
		}), home, inEnglish)
		require.NoError(t, err)
		return out
	}
	sent := append(say("7", 17), say("17", 12)...)
	corrected, err := Correct(append(say("7", 9), say("17", 12)...), sent, at, home, inEnglish)
	require.NoError(t, err)

	left, n, err := Forget(append(sent[:4:4], corrected...), "7", at.AddDate(0, 0, 1), inEnglish)
	require.NoError(t, err)
	assert.Equal(t, 4+4, n, "as they were first, and as they are now")
	data, err := EncodeStatements(left)
	require.NoError(t, err)
	for _, told := range []string{`"name": "7"`, `"raw": 9`, `"raw": 17`} {
		assert.NotContains(t, string(data), told)
	}
	gone := map[string]bool{}
	for _, s := range left {
		gone[s.Object.ID] = true
	}
	for _, s := range append(sent[:len(sent):len(sent)], corrected...) {
		assert.Equal(t, s.Verb.ID != voided && s.Actor.Account.Name == "7", gone[s.ID], "a store voids all of the one, and nothing of the other")
	}

	later, err := Correct(say("17", 12), left, at.AddDate(0, 0, 2), home, inEnglish)
	require.NoError(t, err)
	assert.Equal(t, say("17", 12), later[len(later)-4:], "nothing of the others is voided")
	isTold := func(s Statement) bool { return s.Verb.ID != voided }
	assert.Equal(t, slices.DeleteFunc(slices.Clone(left), isTold), slices.DeleteFunc(later, isTold), "and nothing anew")
	same, n, err := Forget(left, "7", at, inEnglish)
	require.NoError(t, err)
	assert.Equal(t, left, same)
	assert.Zero(t, n)
}

func TestStatementsThatAreNone(t *testing.T) {
	for _, text := range []string{"", "{}", `[{"id":"x"}]`, `[{"idd":"x"}]`, "null x", "null"} {
		_, err := ReadStatements("old.json", []byte(text))
		assert.ErrorContains(t, err, "exchange.no-statements (file old.json)", text)
	}
}
