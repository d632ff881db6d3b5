package main

import (
	"bufio"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/words"
	"conoid/scoring"
	"conoid/sim/sitting"
)

// handMarked is a sitting that a teacher marked by hand, from a file of
// scoring/testdata/sittings.
type handMarked struct {
	c       *cases.Case
	seed    uint64
	actions []string
	points  map[string]float64 // by part
	found   []string           // IDs of findings
}

// tolerance is how far, in points of 100, a part may be from the teacher's
// marks.
const tolerance = 0.5

func TestHandMarkedSittings(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes long")
	}
	files, err := filepath.Glob("../../scoring/testdata/sittings/*.txtar")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 20)
	pars := &parBook{pars: map[string]scoring.Par{}}
	for _, path := range files {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			t.Parallel()
			h := readHandMarked(t, path)
			par, err := pars.of(h.c)
			require.NoError(t, err)
			r, err := scoring.Review(h.c, h.sit(t), par)
			require.NoError(t, err)
			h.compare(t, r)
			checkSums(t, r)
		})
	}
}

func readHandMarked(t *testing.T, path string) *handMarked {
	a, err := txtar.ParseFile(path)
	require.NoError(t, err)
	require.NotEmpty(t, a.Comment, "what the teacher says")
	h := &handMarked{points: map[string]float64{}}
	files := map[string][]byte{}
	for _, f := range a.Files {
		files[f.Name] = f.Data
	}
	for _, w := range wordsOf(files["patient"]) {
		switch {
		case len(w) == 2 && w[0] == "seed":
			h.seed, err = strconv.ParseUint(w[1], 10, 64)
			require.NoError(t, err)
		case len(w) == 2 && w[0] == "case" && files[w[1]] != nil:
			h.c, err = cases.Read(w[1], files[w[1]])
			require.NoError(t, err)
		case len(w) == 2 && w[0] == "case":
			h.c, err = cases.Find(w[1])
			require.NoError(t, err)
		default:
			t.Fatalf("the patient: %v", w)
		}
	}
	for _, w := range wordsOf(files["actions"]) {
		h.actions = append(h.actions, strings.Join(w, " "))
	}
	for _, w := range wordsOf(files["marks"]) {
		if w[0] == "found" {
			h.found = append(h.found, w[1])
			continue
		}
		v, err := strconv.ParseFloat(w[len(w)-1], 64)
		require.NoError(t, err)
		h.points[strings.Join(w[:len(w)-1], " ")] = v
	}
	require.Len(t, h.points, 4)
	return h
}

// wordsOf are the words of each line that says something; the rest of a line
// behind # is for people.
func wordsOf(data []byte) (out [][]string) {
	s := bufio.NewScanner(strings.NewReader(string(data)))
	for s.Scan() {
		line, _, _ := strings.Cut(s.Text(), "#")
		if w := strings.Fields(line); len(w) > 0 {
			out = append(out, w)
		}
	}
	return out
}

func (h *handMarked) sit(t *testing.T) *sitting.Sitting {
	s := sitting.Start(h.c.Setup(), sitting.Seeded(h.seed))
	for _, line := range h.actions {
		a, err := words.Parse(line, words.SceneOf(s))
		require.NoError(t, err, line)
		_, err = s.Do(a)
		require.NoError(t, err, line)
	}
	return s
}

func (h *handMarked) compare(t *testing.T, r *scoring.Report) {
	var full strings.Builder
	require.NoError(t, r.Write(&full, true))
	for _, p := range r.Parts {
		assert.InDelta(t, h.points[p.Name], p.Points, tolerance, p.Name)
	}
	var found []string
	for _, f := range r.Findings {
		found = append(found, f.ID)
		assert.NotEmpty(t, f.Events, f.ID)
		assert.NotEmpty(t, f.What+f.Optics+f.Better, f.ID)
	}
	assert.ElementsMatch(t, h.found, found)
	if t.Failed() || os.Getenv("CONOID_SHOW") != "" {
		t.Log(full.String())
	}
}

// checkSums: what was earned adds up to the points, and with what was lost to
// the most.
func checkSums(t *testing.T, r *scoring.Report) {
	total := 0.0
	for _, p := range r.Parts {
		earned, lost := 0.0, 0.0
		for _, reason := range p.Reasons {
			earned += max(0, reason.Points)
			lost -= min(0, reason.Points)
			assert.NotEmpty(t, reason.Text)
			for _, e := range reason.Events {
				assert.True(t, e >= 1 && e <= len(r.Path), "event %d of %d: %s", e, len(r.Path), reason.Text)
			}
		}
		assert.InDelta(t, p.Points, earned, 1e-6, p.Name)
		assert.InDelta(t, p.Most, earned+lost, 1e-6, p.Name)
		total += p.Points
	}
	assert.InDelta(t, r.Total, total, 1e-6)
	assert.Equal(t, 100.0, r.Most)
}

// parBook works out each par once.
type parBook struct {
	sync.Mutex
	pars map[string]scoring.Par
}

func (b *parBook) of(c *cases.Case) (scoring.Par, error) {
	b.Lock()
	defer b.Unlock()
	if p, ok := b.pars[c.ID]; ok {
		return p, nil
	}
	p, err := scoring.ParOf(c, 2) // near enough to tell many steps from few
	b.pars[c.ID] = p
	return p, err
}
