package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/render/voice"
	"conoid/scoring/cohort"
	"conoid/scoring/practical/class"
	"conoid/sim/fact"
)

// Every file of a folder is a result, or passed over with a reason; nothing outside of
// it is read.
func TestFilesOfAFolder(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, "in", name) }
	require.NoError(t, os.MkdirAll(at("machine-2"), 0o755))
	result := []byte("Conoid practical result, version 2\n")
	outside := filepath.Join(dir, "outside.conoid-result")
	for name, data := range map[string][]byte{
		at("K01.conoid-result"): result, at("K02.conoid-result.txt"): result, at("notes.txt"): []byte("Conoid"), at("empty"): nil, outside: result,
	} {
		require.NoError(t, os.WriteFile(name, data, 0o600))
	}
	links := map[string]string{at("link"): outside, at("link.conoid-result"): outside}
	for name, to := range links {
		if os.Symlink(to, name) != nil {
			t.Skip("no links here")
		}
	}
	got := map[string]string{}
	for _, f := range resultFiles([]string{filepath.Join(dir, "in")}) {
		says := "read"
		if f.Err != nil {
			assert.Empty(t, f.Data)
			says = voice.English.Error(f.Err)
			if f.Passed {
				says = "passed over: " + says
			}
		}
		got[filepath.Base(f.Name)] = says
	}
	assert.Equal(t, map[string]string{
		"K01.conoid-result": "read", "K02.conoid-result.txt": "read",
		"notes.txt":          "passed over: it is no result, by its name and by how it begins",
		"empty":              "passed over: it is no result, by its name and by how it begins",
		"machine-2":          "passed over: that is a folder, which is not searched: name it as well",
		"link":               "passed over: that is a link, which is not followed: bring the file itself",
		"link.conoid-result": "that is a link, which is not followed: bring the file itself",
	}, got)
	named := resultFiles([]string{at("link.conoid-result"), at("gone.conoid-result")})
	assert.NoError(t, named[0].Err, "whoever names a link means what it leads to")
	assert.Contains(t, voice.English.Error(named[1].Err), "there is no such file")
}

// A second result, beside one whose code is on paper, is told as that, by its file, and is no
// code that differs.
func TestOfTwoResultsOneAgrees(t *testing.T) {
	both := []class.Comparison{
		{Candidate: "A7", File: "room/A7", Code: "7T8Y", Paper: "7T8Y", Says: class.Agrees},
		{Candidate: "A7", File: "hall/A7", Code: "3478", Paper: "7T8Y", Says: class.Another},
	}
	var told strings.Builder
	require.NoError(t, tellCodes(&told, voice.English, &class.Class{Codes: both}))
	assert.Contains(t, told.String(), "1 agrees, 0 differ, 0 without a whole result, 0 without a slip. 1 more is of a candidate")
	assert.Contains(t, told.String(), "  A7, hall/A7: the slip has the code of the candidate’s other result\n")
	both[1].Says = class.Differs
	assert.Equal(t, "1 code does not agree with a slip, or has none: see above, and the report", voice.English.Error(tellCodes(&told, voice.English, &class.Class{Codes: both})))
}

// Results that were not marked and candidates without one are two things, counted apart; and
// one is told as one.
func TestWhatIsMissingIsNotUnmarked(t *testing.T) {
	c := &class.Class{PassMark: cohort.Number(50), Figures: &cohort.Class{Most: 100}, Reach: 1, Miss: 3}
	for i, kind := range []class.Kind{class.Damaged, class.Missing, class.Missing, class.Void} {
		c.Troubles = append(c.Troubles, class.Trouble{Kind: kind, Candidate: fmt.Sprint("A", i), What: fact.New("practical.trouble.no-result")})
	}
	var told strings.Builder
	says := voice.English.Error(tellClass(&told, voice.English, c, "out"))
	assert.Contains(t, says, "1 result not marked: see above")
	assert.Contains(t, says, "2 candidates without a result: see above")
	assert.Contains(t, told.String(), "1 reaches it, 3 do not.")
	c.Reach, c.Miss, c.Troubles = 3, 1, c.Troubles[1:2]
	says = voice.English.Error(tellClass(&told, voice.English, c, "out"))
	assert.Equal(t, "1 candidate without a result: see above, and the report", says)
	assert.Contains(t, told.String(), "3 reach it, 1 does not.")
	c.Troubles = nil
	assert.NoError(t, tellClass(&told, voice.English, c, "out"))
}
