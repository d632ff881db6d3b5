package class

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/scoring/practical"
)

// A result that is void is named once, as that and with its reason; it is not marked, it
// is not missing, and its code is compared all the same.
func TestAVoidResult(t *testing.T) {
	p := friday(t, func(p *practical.Plan) { p.Candidates, p.Extra = []string{"A1", "A2", "A3"}, nil })
	var files []File
	codes := map[string]string{}
	for _, n := range []string{"A1", "A2"} {
		files = append(files, idle(t, p, n, morning).file(t, p, n))
		r, err := practical.ReadResult(p, n, files[len(files)-1].Data, assessor.Key())
		require.NoError(t, err)
		codes[n] = r.Code()
	}
	files[0].Void = "seen with notes"
	c := collect(t, p, files, func(c *Collecting) { c.Slips = codes })
	var sheets []string
	for _, s := range c.Sheets {
		sheets = append(sheets, s.Candidate)
	}
	assert.Equal(t, []string{"A2"}, sheets)
	about := map[string][]Kind{}
	unmarked := 0
	for _, x := range c.Troubles {
		about[x.Candidate] = append(about[x.Candidate], x.Kind)
		if x.Kind.Unmarked() || x.Kind == Missing {
			unmarked++
		}
		if x.Kind == Void {
			assert.Equal(t, "seen with notes", x.What.Values["reason"])
		}
	}
	assert.Equal(t, map[string][]Kind{"A1": {Void}, "A2": {Doubtful}, "A3": {Missing}}, about)
	assert.Equal(t, 1, unmarked, "who decided that it does not count misses no mark")
	assert.Equal(t, Agrees, c.Codes[0].Says)
	assert.Equal(t, Compared{Agree: 1, Void: 1}, CountCodes(c.Codes))
	c = collect(t, p, files, func(c *Collecting) { c.Slips = Slips{} })
	n := CountCodes(c.Codes)
	assert.Equal(t, []any{Compared{NoSlip: 1, Void: 1}, 1}, []any{n, n.Open()}, "nobody has to look for the slip of what counts for nothing")
}

// Who was erased is told as that, and nobody waits for the result.
func TestWhoWasErased(t *testing.T) {
	p := friday(t, func(p *practical.Plan) { p.Candidates, p.Extra = []string{"A1", "A2"}, nil })
	c := collect(t, p, nil, func(c *Collecting) { c.Erased = []string{"A2"} })
	require.Len(t, c.Troubles, 2)
	assert.Equal(t, []Kind{Missing, Erased}, []Kind{c.Troubles[0].Kind, c.Troubles[1].Kind})
}

// Ratings without a rating that just passes set no pass mark, and it is said why.
func TestRatingsWithoutAPassMark(t *testing.T) {
	p := friday(t, func(p *practical.Plan) { p.Candidates, p.Extra = []string{"A1"}, nil })
	files := []File{idle(t, p, "A1", morning).file(t, p, "A1")}
	ratings := []practical.Rating{{Work: p.Entry("A1").Work(), Rating: 3}}
	for id, borderline := range map[string]*float64{"practical.no-borderline": nil, "cohort.": new(float64)} {
		c := collect(t, p, files, func(c *Collecting) { c.Ratings, c.Borderline = ratings, borderline })
		assert.False(t, c.PassMark.OK)
		assert.Contains(t, c.PassMark.Why.ID, id)
	}
}
