package scoring

import (
	"bufio"
	"bytes"
	"encoding/json"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// handMarked is a sitting that a teacher marked by hand, from a file of
// testdata/sittings. Its actions stand there twice: as a teacher writes them,
// in the command language, and as a log has them. Those of the log are done
// here; that both are the same is checked where the command language is known.
type handMarked struct {
	c       *cases.Case
	seed    uint64
	actions []sitting.Action
	points  map[PartName]float64
	found   []string // IDs of findings
}

// tolerance is how far, in points of 100, a part may be from the teacher's
// marks.
const tolerance = 0.5

func TestHandMarkedSittings(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes long")
	}
	files, err := filepath.Glob("testdata/sittings/*.txtar")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 20)
	pars := &parBook{pars: map[string]Par{}}
	for _, path := range files {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			t.Parallel()
			h := readHandMarked(t, path)
			par, err := pars.of(h.c)
			require.NoError(t, err)
			s := sitting.Start(h.c.Setup(), sitting.Seeded(h.seed))
			do(t, s, h.actions...)
			r, err := Review(h.c, s, par)
			require.NoError(t, err)
			h.compare(t, r)
			total := fact.Points(0)
			for _, p := range r.Parts {
				requireSums(t, r, p)
				total += p.Points
			}
			assert.InDelta(t, float64(r.Total), float64(total), 1e-6)
			assert.Equal(t, fact.Points(100), r.Most)
		})
	}
}

func readHandMarked(t *testing.T, path string) *handMarked {
	a, err := txtar.ParseFile(path)
	require.NoError(t, err)
	require.NotEmpty(t, a.Comment, "what the teacher says")
	h := &handMarked{points: map[PartName]float64{}}
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
	for line := range bytes.Lines(files["actions.jsonl"]) {
		var a sitting.Action
		require.NoError(t, json.Unmarshal(line, &a), "%s", line)
		h.actions = append(h.actions, a)
	}
	require.NotEmpty(t, h.actions)
	for _, w := range wordsOf(files["marks"]) {
		if w[0] == "found" {
			h.found = append(h.found, w[1])
			continue
		}
		v, err := strconv.ParseFloat(w[len(w)-1], 64)
		require.NoError(t, err)
		h.points[PartName(strings.ToLower(strings.Join(w[:len(w)-1], "-")))] = v
	}
	require.Len(t, h.points, 4)
	return h
}

// wordsOf are the words of each line that says something; the rest of a line
// behind # is for people.
func wordsOf(data []byte) (out [][]string) {
	s := bufio.NewScanner(bytes.NewReader(data))
	for s.Scan() {
		line, _, _ := strings.Cut(s.Text(), "#")
		if w := strings.Fields(line); len(w) > 0 {
			out = append(out, w)
		}
	}
	return out
}

func (h *handMarked) compare(t *testing.T, r *Report) {
	for _, p := range r.Parts {
		want, known := h.points[p.Name]
		require.True(t, known, p.Name)
		assert.InDelta(t, want, float64(p.Points), tolerance, "%s: %+v", p.Name, p.Reasons)
	}
	var found []string
	for _, f := range r.Findings {
		found = append(found, f.ID)
		assert.NotEmpty(t, f.Events, f.ID)
	}
	assert.ElementsMatch(t, h.found, found)
}

// requireSums: what was earned adds up to the points of a part, and with what
// was lost to its most, all for a reason and by events that there were.
func requireSums(t require.TestingT, r *Report, p Part) {
	earned, lost := fact.Points(0), fact.Points(0)
	for _, reason := range p.Reasons {
		earned, lost = earned+max(0, reason.Points), lost-min(0, reason.Points)
		require.NotEqual(t, reason.Why.ID == "", reason.Finding == "", "it is told either way: %+v", reason)
		for _, e := range reason.Events {
			require.True(t, e >= 1 && e <= len(r.Path), "event %d of %d: %+v", e, len(r.Path), reason)
		}
	}
	require.InDelta(t, float64(p.Points), float64(earned), 1e-6, p.Name)
	require.InDelta(t, float64(p.Most), float64(earned+lost), 1e-6, p.Name)
}

// parBook works out each par once.
type parBook struct {
	sync.Mutex
	pars map[string]Par
}

func (b *parBook) of(c *cases.Case) (Par, error) {
	b.Lock()
	defer b.Unlock()
	if p, ok := b.pars[c.ID]; ok {
		return p, nil
	}
	p, err := ParOf(c, 2) // near enough to tell many steps from few
	b.pars[c.ID] = p
	return p, err
}
