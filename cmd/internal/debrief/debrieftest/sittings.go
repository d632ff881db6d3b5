// Package debrieftest seats the patients of the sittings that were marked by hand
// once more, to test what is told of a sitting.
package debrieftest

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/debrief"
	"conoid/scoring"
	"conoid/sim/sitting"
)

// Names are the names of all sittings, in a folder of them.
func Names(t *testing.T, folder string) (out []string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*.txtar"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, f := range files {
		out = append(out, strings.TrimSuffix(filepath.Base(f), ".txtar"))
	}
	return out
}

// Of is the debrief of a sitting, against a par that was made up.
func Of(t *testing.T, folder, name string) *debrief.Debrief {
	t.Helper()
	c, seed, actions := Actions(t, folder, name)
	s := Seated(c, seed)
	for _, a := range actions {
		_, err := s.Do(a)
		require.NoError(t, err, "%v", a)
	}
	d, err := debrief.Of(c, s, &seed, scoring.Par{Seeds: 1, Steps: 42, Seconds: 260})
	require.NoError(t, err)
	return d
}

// seats are sittings by the hashes of their cases.
var seats = map[string]*sitting.Sitting{}

// Seated is a sitting of a case, which has its eyes from the first one of it: what was
// worked out about them is not worked out again. It is for tests that run one after the other.
func Seated(c *cases.Case, seed uint64) *sitting.Sitting {
	if seats[c.Hash()] == nil {
		seats[c.Hash()] = sitting.Start(c.Setup(), sitting.Seeded(1))
	}
	return seats[c.Hash()].Again(sitting.Seeded(seed))
}

// Actions are who sat in a sitting, by which seed, and what was done.
func Actions(t *testing.T, folder, name string) (c *cases.Case, seed uint64, out []sitting.Action) {
	t.Helper()
	a, err := txtar.ParseFile(filepath.Join(folder, name+".txtar"))
	require.NoError(t, err)
	files := map[string][]byte{}
	for _, f := range a.Files {
		files[f.Name] = f.Data
	}
	var id string
	_, err = fmt.Sscanf(string(files["patient"]), "case %s\nseed %d", &id, &seed)
	require.NoError(t, err)
	for line := range strings.Lines(string(files["actions.jsonl"])) {
		var a sitting.Action
		require.NoError(t, json.Unmarshal([]byte(line), &a))
		out = append(out, a)
	}
	return caseOf(t, id, files[id]), seed, out
}

// caseOf is the case of a file, or without one that of the library.
func caseOf(t *testing.T, id string, file []byte) *cases.Case {
	c, err := cases.Find(id)
	if file != nil {
		c, err = cases.Read(id, file)
	}
	require.NoError(t, err)
	return c
}
