package study

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/scoring/candidate"
)

// sat is a sitting with a total and nothing else.
func sat(g candidate.Group, total float64) Sat {
	return Sat{Candidate: candidate.Candidate{Name: string(g), Group: g}, Marked: Marked{Total: total}}
}

// Worked by hand: of the pairs of a good and a deaf sitting, the share in which the
// good one has more, a tie counting half (Mann and Whitney, 1947).
func TestAUC(t *testing.T) {
	good, deaf := candidate.Good, candidate.Deaf
	assert.Equal(t, 1.0, AUC([]Sat{sat(good, 90), sat(deaf, 40), sat(good, 80)}, good, deaf))
	assert.Equal(t, 0.0, AUC([]Sat{sat(good, 30), sat(deaf, 40)}, good, deaf))
	assert.Equal(t, 0.5, AUC([]Sat{sat(good, 40), sat(deaf, 40)}, good, deaf))
	assert.InDelta(t, 4.5/6, AUC([]Sat{sat(good, 3), sat(good, 5), sat(good, 9), sat(deaf, 3), sat(deaf, 4), sat(candidate.Fault, 99)}, good, deaf), 1e-9)
	assert.True(t, math.IsNaN(AUC([]Sat{sat(good, 3)}, good, deaf)))
}

func TestARow(t *testing.T) {
	sats := []Sat{sat("a", 90), sat("a", 89.99), sat("a", 60), sat("a", 40), sat("b", 61)}
	sats[0].Cost = map[string]float64{"x": 2, "y": 0}
	sats[1].Cost = map[string]float64{"x": 4}
	sats[0].Off, sats[1].Off, sats[2].Off, sats[3].Off = 0.25, 0.26, 0.50, 0.51
	rows := Summarise(sats)
	require.Len(t, rows, 2)
	r := rows[0]
	assert.Equal(t, 4, r.Sittings)
	assert.InDelta(t, (90+89.99+60+40)/4, r.Mean, 1e-9)
	assert.Equal(t, []float64{0.25, 0.5, 0.25, 0.25, 0.75}, []float64{r.From90, r.To60, r.To40, r.Within25, r.Within50})
	assert.Equal(t, []Found{{"x", 0.5, 3}, {"y", 0.25, 0}}, r.Findings)
	assert.Equal(t, Found{ID: "z"}, r.Of("z"))
	assert.Equal(t, 1.0, rows[1].Mean/61)
}

func TestTheStudy(t *testing.T) {
	var ks []candidate.Candidate
	for _, name := range []string{"by the book", "asks nothing", "fog left in"} {
		k, ok := candidate.Find(name)
		require.True(t, ok)
		ks = append(ks, k)
	}
	cs := []*cases.Case{cases.Library()[0], cases.Library()[1]}
	done := make(chan int, len(cs))
	sats, err := All(cs, ks, 1, func(n int) { done <- n })
	require.NoError(t, err)
	require.Len(t, sats, len(cs)*len(ks))
	assert.Len(t, done, len(cs))
	for _, s := range sats {
		assert.LessOrEqual(t, s.Total, 100.0)
	}
	rows := Summarise(sats)
	assert.Greater(t, rows[0].Mean, rows[1].Mean)
	assert.Positive(t, rows[1].Findings[0].Cost)
	assert.Positive(t, rows[2].Of("fog-left-in").Share)

	var b strings.Builder
	require.NoError(t, Write(&b, sats))
	for _, part := range []string{"| deaf | asks nothing |", "fog-left-in", "| any | 6 |", "| 3 of 3 claims |"} {
		assert.Contains(t, b.String(), part)
	}
}
