package exchange

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestStatements(t *testing.T) {
	said, err := Statements(clerk(), home+"/", inEnglish)
	require.NoError(t, err)
	var verb, at []string
	ids := map[string]bool{}
	for _, s := range said {
		verb, at = append(verb, strings.TrimPrefix(s.Verb.ID, verbs)), append(at, s.Timestamp)
		ids[s.ID] = true
		assert.Equal(t, Account{home, "4821"}, s.Actor.Account)
		assert.Equal(t, home+"/cases/ferry-clerk", s.Object.ID)
		assert.Equal(t, "0b9e7a52-3d5c-4a0b-8a2f-5d1c7f3e6a90", s.Context.Registration)
		assert.Contains(t, s.Object.Definition.Description["en"], "exchange.caution")
	}
	assert.Equal(t, []string{"attempted", "completed", "scored", "passed"}, verb)
	assert.Equal(t, []string{"2026-01-15T10:20:17.750Z", "2026-01-15T10:32:00.250Z", "2026-01-15T10:32:00.250Z", "2026-01-15T10:32:00.250Z"}, at)
	assert.Len(t, ids, 4)
	assert.Equal(t, "PT702.5S", said[1].Result.Duration)
	interrupted, err := Statements(with(func(s *Sitting) { s.Ended = s.Started.Add(20 * time.Minute) }), home, inEnglish)
	require.NoError(t, err)
	assert.Equal(t, "2026-01-15T10:40:17.750Z", interrupted[1].Timestamp, "it ends when it ended")
	assert.Equal(t, "PT702.5S", interrupted[1].Result.Duration, "and took the time that was used")
	assert.Equal(t, "-1.50 / -0.75 x 170", said[1].Result.Response)
	assert.True(t, *said[1].Result.Completion)
	assert.Equal(t, -0.08, said[1].Result.Extensions[home+"/extensions/logmar"])
	assert.Equal(t, &Score{Scaled: 0.85, Raw: 17, Max: 20}, said[2].Result.Score)
	assert.True(t, *said[3].Result.Success)

	failed := false
	said, err = Statements(with(func(s *Sitting) { s.Stated, s.Passed = false, &failed }), home, inEnglish)
	require.NoError(t, err)
	assert.Equal(t, verbs+"terminated", said[1].Verb.ID)
	assert.False(t, *said[1].Result.Completion)
	assert.Empty(t, said[1].Result.Response)
	assert.Equal(t, verbs+"failed", said[3].Verb.ID)
	assert.False(t, *said[3].Result.Success)

	said, err = Statements(with(func(s *Sitting) { s.Passed = nil }), home, inEnglish)
	require.NoError(t, err)
	assert.Len(t, said, 3)
}

// A store takes a statement once (xAPI 1.0.3, Communication, section 2.1): the
// same sitting says the same, and another sitting something else.
func TestSameSittingSameStatements(t *testing.T) {
	want, err := Statements(clerk(), home, inEnglish)
	require.NoError(t, err)
	again, err := Statements(with(func(s *Sitting) { s.Started = s.Started.UTC() }), home, inEnglish)
	require.NoError(t, err)
	assert.Equal(t, want, again)
	for name, change := range map[string]func(*Sitting){
		"candidate":    func(s *Sitting) { s.Candidate = "4822" },
		"registration": func(s *Sitting) { s.Registration = "1b9e7a52-3d5c-4a0b-8a2f-5d1c7f3e6a90" },
		"case":         func(s *Sitting) { s.Case.ID = "net-mender" },
		"version":      func(s *Sitting) { s.Case.Hash = "5f2b" },
		"time":         func(s *Sitting) { s.Started = s.Started.Add(time.Millisecond) },
	} {
		other, err := Statements(with(change), home, inEnglish)
		require.NoError(t, err)
		for i := range want {
			assert.NotEqual(t, want[i].ID, other[i].ID, name)
		}
	}
}

func TestEncodeStatements(t *testing.T) {
	said, err := Statements(clerk(), home, inEnglish)
	require.NoError(t, err)
	data, err := EncodeStatements(said)
	require.NoError(t, err)
	var back []Statement
	require.NoError(t, json.Unmarshal(data, &back)) // a bare array: Communication, section 2.1.2
	assert.Equal(t, said[2], back[2])
	said[2].Result.Score.Scaled = 1.2
	_, err = EncodeStatements(said)
	assert.ErrorContains(t, err, "exchange.would-be-refused (document exchange.statement (n 3), place #/result/score/scaled, says maximum: got 1.2, want 1)")
	data, err = EncodeStatements(nil)
	require.NoError(t, err)
	assert.Equal(t, "[]\n", string(data))
}

func TestWhateverIsSaidIsValid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := clerk()
		s.Most = rapid.Float64Range(0.1, 1000).Draw(t, "most")
		s.Points = s.Most * rapid.Float64Range(0, 1).Draw(t, "part")
		s.Duration = time.Duration(rapid.Int64Range(0, 1e14).Draw(t, "lasted"))
		s.Stated = rapid.Bool().Draw(t, "stated")
		s.EndPoint.Sphere = rapid.Float64Range(-20, 20).Draw(t, "sphere")
		s.Case.ID = rapid.StringMatching(`[a-zé /?#%]{0,8}[a-z]`).Draw(t, "id")
		said, err := Statements(s, home, inEnglish)
		require.NoError(t, err)
		_, err = EncodeStatements(said)
		require.NoError(t, err)
	})
}

// Durations by xAPI 1.0.3, Data, section 4.6: its own examples, and the forms
// that it forbids.
func TestDurations(t *testing.T) {
	lasting := func(d string) error {
		return check("it", statementSchema, []byte(strings.Replace(statement, "PT11M42.5S", d, 1)))
	}
	for _, s := range []string{"PT4H35M59.14S", "PT16559.14S", "P3Y1M29DT4H35M59.14S", "P4W", "PT0S", "P1D"} {
		assert.NoError(t, lasting(s), s)
	}
	for _, s := range []string{"P4W1D", "P0003-01-29T04:35:59.14", "11:42", "P", "PT", "P1DT", "PT1.5H2M", "4H", "-PT1S", ""} {
		assert.ErrorContains(t, lasting(s), "#/result/duration", s)
	}
	assert.Equal(t, "PT16559.14S", seconds(16559*time.Second+141*time.Millisecond))
	assert.Equal(t, "PT0S", seconds(time.Millisecond))
}
