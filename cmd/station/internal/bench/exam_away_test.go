package bench

import (
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/exam"
	"conoid/cmd/station/internal/bench/home"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/ui"
	"conoid/scoring/practical"
)

// holds are the names of everything in the store that tells any of some secrets, in
// its name or in what it holds.
func (m *memory) holds(secrets ...string) (names []string) {
	for _, name := range slices.Sorted(maps.Keys(m.files)) {
		all := strings.ToLower(name + "\n" + string(m.files[name]))
		if slices.ContainsFunc(secrets, func(s string) bool { return strings.Contains(all, strings.ToLower(s)) }) {
			names = append(names, name)
		}
	}
	return names
}

// Nothing of a former candidate can be read in the store when the next one sits there,
// and the former, who comes back with the assessor, gets the same code and file.
func TestNothingOfAFormerCandidateCanBeRead(t *testing.T) {
	long(t)
	file, _ := newPractical(t, sevenMinutes(1))
	m := newMemory()
	var saved [][]byte
	h := newHands(t, 1366, 768, Options{Store: m, Save: func(_ string, data []byte) (string, error) { saved = append(saved, data); return "x", nil }})
	h.enterAs("QUAY77", file)
	h.press("begin")
	h.press("show fan")
	h.press("card")
	h.fill("note fan axis", "driftwood")
	h.press("card close")
	h.press("end")
	h.press("acuity 6/6")
	h.press("end now")
	require.True(t, at[*exam.Over](h), h.notice())
	look, err := practical.LookAt("x", saved[0])
	require.NoError(t, err)
	secrets := []string{"quay77", "driftwood", look.Code, `"chain"`, "Conoid practical result", noon.Format(time.RFC3339)}
	assert.Len(t, m.holds("quay77"), 4, "a record, a result, a log, the settings")
	assert.NotEmpty(t, m.holds("driftwood"))
	assert.NotEmpty(t, m.holds(`"chain"`))

	h.press("dismiss")
	assert.Empty(t, m.holds(secrets...), "as soon as they have gone")
	h.enterAs("8", file)
	h.press("begin")
	require.True(t, at[*chairside.Screen](h), h.notice())
	assert.Empty(t, m.holds("quay77", "driftwood", look.Code, "Conoid practical result"))
	h.press("end")
	h.press("acuity 6/6")
	h.press("end now")
	h.press("dismiss")

	h.enterAs("quay77", file)
	require.True(t, at[*exam.Over](h), h.notice())
	assert.Contains(t, h.labels(), look.Code)
	assert.Equal(t, saved[0], saved[2])
}

// Who begins anew at another machine has two results, and two files of them, each named
// after the beginning of its code.
func TestTwoResultsOfACandidateAreTwoFiles(t *testing.T) {
	long(t)
	file, _ := newPractical(t, sevenMinutes(1))
	names := map[string]bool{}
	for _, acuity := range []string{"6/6", "6/12"} {
		var name, code string
		h := newHands(t, 1366, 768, Options{Save: func(n string, data []byte) (string, error) {
			look, err := practical.LookAt(n, data)
			name, code = n, look.Code
			return n, err
		}})
		h.enter(file)
		h.press("begin")
		h.press("end")
		h.press("acuity " + acuity)
		h.press("end now")
		require.True(t, at[*exam.Over](h), h.notice())
		assert.Regexp(t, "-7-"+code[:4]+`\.conoid-result$`, name)
		names[name] = true
		saved := name
		h.press("save result")
		assert.Equal(t, saved, name, "the same result is the same file")
	}
	assert.Len(t, names, 2)
}

// A candidate who was not through is put away as well, and goes on later; what cannot
// be put away stays, and nobody else is let in.
func TestACandidateWhoWasNotThroughIsPutAway(t *testing.T) {
	long(t)
	m := newMemory()
	h, file := admitted(t, Options{Store: m})
	h.press("begin")
	h.press("show fan")
	h.press("ask which")
	before := maps.Clone(m.files)

	m.files[settings.File] = []byte(`{"textSize":100,"curtain":1}`) // of another machine
	again := newHands(t, 1366, 768, Options{Store: m})
	m.refuses = "/away/"
	again.enterAs("8", file)
	assert.True(t, at[*exam.Door](again))
	assert.NotEmpty(t, again.notice())
	for name, data := range before {
		if strings.HasPrefix(name, "practicals/") {
			assert.Equal(t, string(data), string(m.files[name]))
		}
	}
	m.refuses = ""
	again.press("passphrase")
	again.write("open sesame")
	again.press("admit")
	require.True(t, at[*exam.Ready](again), again.notice())
	assert.Empty(t, m.holds("/7.json", "/7-", `"7"`, `"chain"`))

	m.files[settings.File] = []byte(`{"textSize":100,"curtain":1}`)
	last := newHands(t, 1366, 768, Options{Store: m})
	last.enter(file)
	require.True(t, at[*chairside.Screen](last), last.notice())
	assert.Len(t, last.visit().Events(), 2)
	assert.Len(t, m.holds("/away/"), 1, "what was taken out lies there no more, and could not come back over what is newer")
}

// An attempt whose log was damaged does not go on: the candidate, and the assessor who
// comes, read what to do, and the code is shown and the result saved.
func TestADamagedAttemptIsClosed(t *testing.T) {
	long(t)
	m, saved := newMemory(), []byte(nil)
	o := Options{Store: m, Save: func(_ string, data []byte) (string, error) { saved = data; return "x", nil }}
	h, file := admitted(t, o)
	h.press("begin")
	h.press("show fan")
	h.press("ask which")
	log := m.holds(`"chain"`)[0]
	m.files[log][len(m.files[log])-9] ^= 1

	again := newHands(t, 1366, 768, o)
	require.True(t, at[*exam.Interrupted](again))
	again.fill("passphrase", "open sesame")
	again.press("let on")
	require.True(t, at[*exam.Interrupted](again))
	assert.Contains(t, again.notice(), "press “Assessor…” and “Close early”")
	m.files[settings.File] = []byte(`{"textSize":100,"curtain":1}`)
	again = newHands(t, 1366, 768, o)
	again.enter(file)
	require.True(t, at[*exam.Interrupted](again), "through the door as well")
	assert.Contains(t, again.notice(), "press “Assessor…” and “Close early”")

	again.head = h.head
	again.fill("passphrase", "open sesame")
	again.press("assessor")
	require.True(t, at[*exam.Assessor](again), again.notice())
	again.press("go on")
	require.True(t, at[*exam.Assessor](again), "it is damaged still")
	assert.Contains(t, again.notice(), "“Close early”")
	again.rule(practical.Closed)
	require.True(t, at[*exam.Over](again), again.notice())
	look, err := practical.LookAt("x", saved)
	require.NoError(t, err)
	assert.Contains(t, again.labels(), look.Code)
	assert.Equal(t, practical.ByAssessor, again.sat().Ended)
	assert.Equal(t, "the attempt could not go on", again.ruledOf("7").Interruptions[0].Reason)
}

// Who comes back reads where it was, which before the first case is at none.
func TestWhereItWasInterrupted(t *testing.T) {
	m := newMemory()
	h, _ := admitted(t, Options{Store: m})
	first := newHands(t, 1366, 768, Options{Store: copied(m)})
	assert.Contains(t, first.labels(), "was interrupted, before the first case.")
	h.press("begin")
	again := newHands(t, 1366, 768, Options{Store: m})
	assert.Contains(t, again.labels(), "was interrupted, at case 1.")
}

// What is said where something does not work, or did: what the user can do there, and no name
// of a file that need not be there.
func TestWhatIsSaidAroundThePractical(t *testing.T) {
	m := newMemory()
	h, file := admitted(t, Options{Store: m})
	again := newHands(t, 1366, 768, Options{Store: copied(m)})
	again.press("passphrase")
	again.write("open barley")
	again.press("let on")
	assert.Contains(t, again.notice(), "his passphrase does not open the practical")
	assert.NotContains(t, strings.ToLower(again.notice()), ".txt")

	h.press("begin")
	h.frame(ui.Input{Files: []ui.File{{Name: "other.txt", Data: file}}})
	assert.Equal(t, h.say("bench.drop.practical"), h.notice())
	h.back()
	assert.Equal(t, h.say("bench.back.practical"), h.notice())
	h.assess()
	h.rule(practical.Left)
	require.True(t, at[*home.Screen](h), h.notice())
	assert.Equal(t, h.say("bench.assessor.told.left"), h.notice())

	h.enter(file)
	for range 2 {
		h.press("end")
		h.press("acuity 6/6")
		h.press("end now")
		if at[*exam.Ready](h) {
			h.press("begin")
		}
	}
	require.True(t, at[*exam.Over](h), h.notice())
	h.back()
	assert.Equal(t, h.say("bench.back.over"), h.notice())
	h.press("dismiss")
	assert.Empty(t, h.notice())
	practised := newHands(t, 1366, 768, Options{Case: "ferry-clerk"})
	practised.frame(ui.Input{Files: []ui.File{{Name: "other.txt", Data: file}}})
	assert.Equal(t, practised.say("bench.drop.busy"), practised.notice())
}
