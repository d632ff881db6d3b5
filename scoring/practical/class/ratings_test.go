package class

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/scoring/practical"
)

func TestReadRatings(t *testing.T) {
	p := friday(t, nil)
	b2, b3 := p.Entry("B2").Work(), p.Entry("B3").Work()
	for _, text := range []string{
		"\ufeffcandidate,rating\r\nb2,3\r\n\"B3\",\u22121.5\r\n", "candidate,rating\nB2,3\nB3,-1.5", "Einschätzung;Bemerkung;Nummer\n3;;b2\n-1,5;gut;b3",
	} {
		r, err := ReadRatings(p, "r.csv", []byte(text))
		require.NoError(t, err, text)
		assert.Equal(t, []practical.Rating{{Work: b2, Rating: 3}, {Work: b3, Rating: -1.5}}, r)
	}
	r, err := ReadRatings(p, "r.csv", []byte("candidate,rating,rater\nB2,3,r1\nB2,4,r2\n"))
	require.NoError(t, err)
	assert.Equal(t, []practical.Rating{{Work: b2, Rating: 3, Rater: "R1"}, {Work: b2, Rating: 4, Rater: "R2"}}, r)
	for bad, want := range map[string]string{
		"":                                                    "line 1, what practical.table.empty",
		"name,rating\n":                                       "line 1, what practical.table.column (column candidate, names candidate; number; ",
		"candidate,points\n":                                  "line 1, what practical.table.column (column rating, names rating; Einschätzung; ",
		"candidate,rating\nMira T,3\n":                        "line 2, what practical.no-number (text Mira T)",
		"candidate,rating\nB2,NaN\n":                          "line 2, what practical.no-rating (least -1000, most 1000, text NaN)",
		"candidate,rating\nB2,Inf\n":                          "practical.no-rating",
		"candidate,rating\nB2,-Inf\n":                         "practical.no-rating",
		"candidate,rating\nB2,1e999\n":                        "practical.no-rating",
		"candidate,rating\nB2,1000.5\n":                       "practical.no-rating",
		"candidate,rating\nB2\n":                              "practical.no-rating",
		"candidate,rating\nB2,3\nb2,4":                        "line 3, what practical.rated-twice (candidate B2)",
		"candidate,rating,rater\nB2,3,Mira Tolben\n":          "line 2, what practical.no-rater (text Mira Tolben)",
		"candidate,rating,rater\nB2,3,R1\nB2,3,R2\nB2,3,R3\n": "line 4, what practical.rated-enough",
		"candidate,rating\nB2,\"3\n4\"\n":                     "practical.no-rating",
		`{"n":1,"at":"2031-04-04T09:00:00Z","work":"x","rating":3}` + "\n": "practical.line.none",
	} {
		_, err := ReadRatings(p, "r.csv", []byte(bad))
		assert.ErrorContains(t, err, want, bad)
	}
}

// A rating that its rater gave anew counts once, and the report has both.
func TestACorrectedRating(t *testing.T) {
	p := friday(t, nil)
	at := p.Made
	rated := func(candidate, rater string, v float64, corrects bool) practical.Rating {
		return practical.Rating{At: at, Work: p.Entry(candidate).Work(), Rater: rater, Rating: v, Corrects: corrects}
	}
	c := &Class{Sheets: []*practical.Sheet{{Candidate: "K1"}, {Candidate: "K2"}, {Candidate: "K3"}}}
	require.NoError(t, c.rate(p, []practical.Rating{
		rated("K1", "R1", 33, false), rated("K1", "R2", 4, false), rated("K2", "R1", 2, false), rated("K2", "R2", 1, false),
		rated("K3", "R1", 2, false), rated("K1", "R1", 5, true), rated("K3", "R1", 1, true), rated("K1", "R1", 3, true), rated("K9", "R1", 3, true),
	}))
	assert.Equal(t, map[string]float64{"K1": 3.5, "K2": 1.5, "K3": 1}, c.ratings)
	require.Len(t, c.Raters, 1)
	assert.Equal(t, []any{2, 0.0}, []any{c.Raters[0].Agreement.N, c.Raters[0].Agreement.Bias.V})
	assert.Equal(t, []Corrected{{"K1", "R1", 33, 5, at}, {"K1", "R1", 5, 3, at}, {"K3", "R1", 2, 1, at}}, c.Corrected)
}

// Two raters agree as two meters of peak flow do: the data printed in Bland and Altman
// (1986), Lancet i:307-310, of 17 people by two meters; the mean difference of -2.1 and
// the standard deviation of 38.8 as printed (from memory).
func TestTwoRaters(t *testing.T) {
	large := []float64{494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427}
	mini := []float64{512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451}
	p := friday(t, nil)
	c := &Class{}
	var all []practical.Rating
	for i := range large {
		n := fmt.Sprintf("K%d", i+1)
		c.Sheets = append(c.Sheets, &practical.Sheet{Candidate: n})
		all = append(all, practical.Rating{Work: p.Entry(n).Work(), Rater: "R2", Rating: mini[i]}, practical.Rating{Work: p.Entry(n).Work(), Rater: "R1", Rating: large[i]})
	}
	c.Sheets = append(c.Sheets, &practical.Sheet{Candidate: "K18"}, &practical.Sheet{Candidate: "K19"})
	all = append(all, practical.Rating{Work: p.Entry("K18").Work(), Rater: "R3", Rating: 7}, practical.Rating{Forgot: true}, practical.Rating{Work: "nobody", Rater: "R1", Rating: 2})
	require.NoError(t, c.rate(p, all))
	require.Len(t, c.Raters, 1)
	a := c.Raters[0].Agreement
	assert.Equal(t, []any{"R1", "R2", 17}, []any{c.Raters[0].First, c.Raters[0].Second, a.N})
	assert.InDelta(t, -2.1, a.Bias.V, 0.05)
	assert.InDelta(t, 38.8, a.SD.V, 0.05)
	assert.Equal(t, 503.0, c.ratings["K1"], "the mean of both sets the pass mark")
	assert.Equal(t, 7.0, c.ratings["K18"])
	assert.Len(t, c.ratings, 18)
	require.NoError(t, c.rate(p, nil))

	c = &Class{}
	all = nil
	for n, raters := range map[string][2]string{"K1": {"R1", "R3"}, "K2": {"R1", "R2"}, "K3": {"R2", "R3"}, "K4": {"R1", "R4"}} {
		c.Sheets = append(c.Sheets, &practical.Sheet{Candidate: n})
		for i, r := range raters {
			all = append(all, practical.Rating{Work: p.Entry(n).Work(), Rater: r, Rating: float64(i)})
		}
	}
	slices.SortFunc(c.Sheets, func(a, b *practical.Sheet) int { return strings.Compare(a.Candidate, b.Candidate) })
	require.NoError(t, c.rate(p, all))
	var pairs []string
	for _, x := range c.Raters {
		pairs = append(pairs, x.First+" "+x.Second)
	}
	assert.Equal(t, []string{"R1 R2", "R1 R3", "R1 R4", "R2 R3"}, pairs)
}
