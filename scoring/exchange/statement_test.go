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
	assert.ErrorContains(t, err, "statement 3")
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

// A statement written out by hand.
const valid = `{
  "id": "6f0a1c5e-6a3d-4f0e-9b57-2f1a4c9d8e10",
  "actor": { "objectType": "Agent", "account": { "homePage": "https://exams.example.org", "name": "cand-4821" } },
  "verb": { "id": "http://adlnet.gov/expapi/verbs/scored", "display": { "en": "scored" } },
  "object": { "objectType": "Activity", "id": "https://exams.example.org/cases/case-07", "definition": { "name": { "en-GB": "Seven" } } },
  "result": { "score": { "scaled": 0.85, "raw": 17, "min": 0, "max": 20 }, "success": true, "duration": "PT11M42.5S",
              "extensions": { "https://exams.example.org/x": null } },
  "context": { "registration": "0b9e7a52-3d5c-4a0b-8a2f-5d1c7f3e6a90", "revision": "3",
               "contextActivities": { "parent": [ { "id": "https://exams.example.org/sittings/2026-01" } ] } },
  "timestamp": "2026-01-15T10:32:00.250Z"
}`

// The rules of xAPI 1.0.3, Data, by section.
func TestValidateStatement(t *testing.T) {
	require.NoError(t, ValidateStatement([]byte(valid)))
	for _, c := range []struct{ section, from, to, says string }{
		{"2.2 types", `"raw": 17`, `"raw": "17"`, "result.score.raw"},
		{"2.2 types", `"success": true`, `"success": "true"`, "result.success"},
		{"2.2 no null", `"success": true`, `"success": null`, "result.success: null"},
		{"2.2 no null", `"raw": 17`, `"raw": null`, "raw: null"},
		{"2.2 case of names", `"duration"`, `"Duration"`, `no "Duration"`},
		{"2.2 unknown names", `"success"`, `"succes"`, `no "succes"`},
		{"2.2 IRI with scheme", `"id": "http://adlnet.gov/expapi/verbs/scored"`, `"id": "scored"`, "verb.id"},
		{"2.2 UUID", `6f0a1c5e-6a3d-4f0e-9b57-2f1a4c9d8e10`, `6f0a1c5e`, "statement.id"},
		{"2.2 UUID", `"0b9e7a52-3d5c-4a0b-8a2f-5d1c7f3e6a90"`, `"one"`, "context.registration"},
		{"2.4 required", `"verb"`, `"verb_"`, `no "verb_"`},
		{"2.4 required", `"verb": { "id": "http://adlnet.gov/expapi/verbs/scored", "display": { "en": "scored" } },`, ``, `"verb" is missing`},
		{"2.4 required", `"object": { "objectType": "Activity", "id": "https://exams.example.org/cases/case-07", "definition": { "name": { "en-GB": "Seven" } } },`, ``, `"object" is missing`},
		{"2.4.2 one identifier", `"account":`, `"mbox": "mailto:a@example.org", "account":`, "exactly one"},
		{"2.4.2 one identifier", `, "account": { "homePage": "https://exams.example.org", "name": "cand-4821" }`, ``, "exactly one"},
		{"2.4.2.4 account", `"homePage": "https://exams.example.org", `, ``, `"homePage" is missing`},
		{"2.4.3 language map", `"en": "scored"`, `"en_GB": "scored"`, "language tag"},
		{"2.4.4 activity id", `"id": "https://exams.example.org/cases/case-07"`, `"id": "case-07"`, "object.id"},
		{"2.4.5 duration", `PT11M42.5S`, `11:42`, "result.duration"},
		{"2.4.5.1 scaled", `0.85`, `1.2`, "scaled: 1.2"},
		{"2.4.5.1 scaled", `0.85`, `-1.01`, "scaled: -1.01"},
		{"2.4.5.1 raw", `"raw": 17`, `"raw": 21`, "raw: 21"},
		{"2.4.5.1 raw", `"raw": 17`, `"raw": -1`, "raw: -1"},
		{"2.4.5.1 min", `"min": 0`, `"min": 20`, "min below max"},
		{"2.4.6 revision", `"objectType": "Activity", "id": "https://exams.example.org/cases/case-07", "definition": { "name": { "en-GB": "Seven" } }`,
			`"objectType": "StatementRef", "id": "6f0a1c5e-6a3d-4f0e-9b57-2f1a4c9d8e11"`, "only where the object is an Activity"},
		{"2.4.7 timestamp", `2026-01-15T10:32:00.250Z`, `15/01/2026`, "timestamp"},
		{"2.3.2 voiding", `verbs/scored`, `verbs/voided`, "StatementRef"},
		{"4.1 extensions", `"https://exams.example.org/x": null`, `"x": null`, "extensions"},
		{"JSON", `"timestamp"`, `timestamp`, "not JSON"},
	} {
		bad := strings.Replace(valid, c.from, c.to, 1)
		require.NotEqual(t, valid, bad, c.says)
		assert.ErrorContains(t, ValidateStatement([]byte(bad)), c.says, c.section)
	}
	assert.Error(t, ValidateStatement([]byte(valid+"{}")))
}

// Durations by xAPI 1.0.3, Data, section 4.6: its own examples, and the forms
// that it forbids.
func TestDurations(t *testing.T) {
	for _, s := range []string{"PT4H35M59.14S", "PT16559.14S", "P3Y1M29DT4H35M59.14S", "P4W", "PT0S", "P1D"} {
		assert.True(t, isDuration(s), s)
	}
	for _, s := range []string{"P4W1D", "P0003-01-29T04:35:59.14", "11:42", "P", "PT", "P1DT", "PT1.5H2M", "4H", "-PT1S", ""} {
		assert.False(t, isDuration(s), s)
	}
	assert.Equal(t, "PT16559.14S", seconds(16559*time.Second+141*time.Millisecond))
	assert.Equal(t, "PT0S", seconds(time.Millisecond))
}

func FuzzValidateStatement(f *testing.F) {
	f.Add([]byte(valid))
	f.Add([]byte(`[1]`))
	f.Add([]byte(`{"object":{"objectType":1},"context":3,"verb":[]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		if ValidateStatement(data) == nil {
			require.True(t, json.Valid(data))
		}
	})
}
