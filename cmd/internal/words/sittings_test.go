package words_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/debrief/debrieftest"
	"conoid/cmd/internal/words"
)

var update = flag.Bool("update", false, "write the actions of the hand-marked sittings anew")

// The sittings that a teacher marked by hand are written in the command
// language, and beside it as the log has them, so that they can be marked where
// no command is known. Both are the same.
func TestHandMarkedSittingsAreWrittenBothWays(t *testing.T) {
	files, err := filepath.Glob("../../../scoring/testdata/sittings/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, path := range files {
		a, err := txtar.ParseFile(path)
		require.NoError(t, err)
		section := func(name string) int {
			return slices.IndexFunc(a.Files, func(f txtar.File) bool { return f.Name == name })
		}
		id, _, _ := strings.Cut(strings.TrimPrefix(string(a.Files[section("patient")].Data), "case "), "\n")
		c, err := cases.Find(id)
		if own := section(id); own >= 0 {
			c, err = cases.Read(id, a.Files[own].Data)
		}
		require.NoError(t, err, path)
		want := logged(t, c, string(a.Files[section("actions")].Data))
		i := section("actions.jsonl")
		if *update {
			if i < 0 {
				i = len(a.Files)
				a.Files = append(a.Files, txtar.File{Name: "actions.jsonl"})
			}
			a.Files[i].Data = want
			require.NoError(t, os.WriteFile(path, txtar.Format(a), 0o644))
		}
		require.GreaterOrEqual(t, i, 0, path)
		assert.Equal(t, string(want), string(a.Files[i].Data), "%s: run this test with -update", path)
	}
}

// logged are the actions of a script as a log has them.
func logged(t *testing.T, c *cases.Case, script string) []byte {
	var out bytes.Buffer
	s := debrieftest.Seated(c, 1)
	for line := range strings.Lines(script) {
		line, _, _ = strings.Cut(line, "#")
		if strings.TrimSpace(line) == "" {
			continue
		}
		a, err := words.Parse(line, words.SceneOf(s))
		require.NoError(t, err, line)
		_, err = s.Do(a)
		require.NoError(t, err, line)
		require.NoError(t, json.NewEncoder(&out).Encode(a))
	}
	return out.Bytes()
}
