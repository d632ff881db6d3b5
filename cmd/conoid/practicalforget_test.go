package main

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/render/voice"
	other "conoid/scoring/exchange"
	"conoid/sim/sitting"
)

// Every file that the commands write for a practical is reached, and what is not is
// said. A candidate with a short number is not taken for another, nor for points.
func TestForgetReachesEveryFile(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"report/class.json":                   `{"candidates":[{"candidate":"7","points":7}]}`,
		"report/class.html":                   "<strong>7</strong>",
		"report/class.csv":                    "candidate,points\n7,8\n",
		"report/statements.json":              `[{"actor":{"account":{"name":"7"}}}]`,
		"report/fhir.json":                    `{"entry":[{"performer":[{"identifier":{"value":"7"}}]}]}`,
		"report/fhir/7-clerk.json":            `{"performer":[{"identifier":{"value":"7"}}]}`,
		"report/sittings.csv":                 "candidate,case\n7,clerk\n",
		"report/gradebook.csv":                "candidate,clerk\n7,12\n",
		"another/class.json":                  `{"candidates":[{"candidate":"17","points":7}]}`,
		"another/class.html":                  "<td>7</td>",
		"another/class.csv":                   "candidate,points,file\n17,7,17.conoid-result\n",
		"another/gradebook.csv":               "candidate,clerk\n17,7\n",
		"torn/class.csv":                      "candidate,what,file\n,damaged,results/7.conoid-result\n",
		"results/17.conoid-result":            "Conoid practical result, version 2\ntorn",
		"ratings.csv":                         "Einschätzung;Nummer\n3;7\n7;17\n",
		"codes.csv":                           "candidate,code\n17,7777\n",
		"decisions.jsonl":                     `{"n":1,"candidate":"7","before":"","signed":""}` + "\n",
		"list.txt":                            "7\n17\n",
		"notes.txt":                           "nothing",
		"picture.bin":                         "\x00 7 ",
		"friday-slips.html":                   `<div class="line number">7</div>`,
		"monday-slips.html":                   `<div class="line number">17</div> 7`,
		"report/fhir/17-clerk.json":           `{"performer":[{"identifier":{"value":"17"}}]}`,
		"report/deeper/report-2/class.json":   `{"troubles":[{"candidate":"","file":"results/7.conoid-result"}]}`,
		"report/deeper/report-2/class.html":   "results/7.conoid-result",
		"report/deeper/report-3/damaged.json": `7`,
	} {
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	}
	t.Chdir(dir)
	sent := sentOf(t, "7", "17")
	require.NoError(t, os.WriteFile("report/deeper/statements.json", sent, 0o600))
	read := func(name string) []byte {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		return data
	}
	forget := func(args ...string) (said string) {
		var out bytes.Buffer
		require.Equal(t, exitFine, run(append([]string{"practical", "forget", "7", "."}, args...), strings.NewReader(""), &out, os.Stderr))
		return out.String()
	}
	said := forget()
	assert.FileExists(t, "report/class.json")
	assert.Contains(t, said, "report/gradebook.csv would be deleted.")
	assert.Contains(t, said, "write --force")

	assert.Contains(t, said, "In report/deeper/statements.json the candidate’s statements would be replaced")
	assert.Equal(t, string(sent), string(read("report/deeper/statements.json")))

	said = forget("--force")
	for _, line := range []string{
		"results/17.conoid-result is damaged and does not tell whose it is.", "The candidate’s row is taken out of ratings.csv.",
		"decisions.jsonl is signed and may have the candidate in it: name it with --decisions", "list.txt has this number in it and was written by no command here",
		"Not reached: copies elsewhere", "whose number was corrected from or to this one", "its pass mark can be another one",
	} {
		assert.Contains(t, said, line)
	}
	var left []string
	require.NoError(t, filepath.WalkDir(".", func(path string, e fs.DirEntry, err error) error {
		if !e.IsDir() {
			left = append(left, filepath.ToSlash(path))
		}
		return err
	}))
	assert.Equal(t, []string{
		"another/class.csv", "another/class.html", "another/class.json", "another/gradebook.csv", "codes.csv", "decisions.jsonl", "list.txt", "monday-slips.html", "notes.txt", "picture.bin",
		"ratings.csv", "report/deeper/report-3/damaged.json", "report/deeper/statements.json", "report/fhir/17-clerk.json", "results/17.conoid-result",
	}, left)
	assert.Equal(t, "Einschätzung;Nummer\r\n7;17\r\n", string(read("ratings.csv")))
	assert.Contains(t, said, "send it once more")
	kept, err := other.ReadStatements("statements.json", read("report/deeper/statements.json"))
	require.NoError(t, err, "collect --sent reads it")
	was, err := other.ReadStatements("statements.json", sent)
	require.NoError(t, err)
	require.Len(t, kept, len(was))
	for i, s := range kept[:len(was)/2] {
		assert.Equal(t, was[i].ID, s.Object.ID, "voided")
	}
	assert.Equal(t, was[len(was)/2:], kept[len(was)/2:], "of the others nothing has changed")
	assert.NotContains(t, string(read("report/deeper/statements.json")), `"name": "7"`)
	said = forget("--force")
	assert.Contains(t, said, "There is nothing of candidate 7")
	assert.NotContains(t, said, "pass mark", "no report is to be made anew")
}

// sentOf are statements about a sitting of each candidate, as they are written.
func sentOf(t *testing.T, candidates ...string) []byte {
	t.Helper()
	var all []other.Statement
	for _, c := range candidates {
		one := other.Sitting{
			Candidate: c, Registration: other.Registration(c), Eye: sitting.Right, Case: other.Case{ID: "clerk", Title: "The clerk", Hash: "h"},
			Points: 9, Most: 20, Started: time.Date(2031, 4, 4, 9, 0, 0, 0, time.UTC), Duration: time.Minute,
		}
		told, err := other.Statements(&one, "https://exams.example.org", other.Words{Language: "en", Say: voice.English.Say})
		require.NoError(t, err)
		all = append(all, told...)
	}
	data, err := other.EncodeStatements(all)
	require.NoError(t, err)
	return data
}
