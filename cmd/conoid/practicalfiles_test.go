package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/render/voice"
	"conoid/scoring/practical/class"
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
	assert.Error(t, tellCodes(&told, voice.English, &class.Class{Codes: both}))
}
