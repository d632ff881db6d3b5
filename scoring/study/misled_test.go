package study

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/scoring"
	"conoid/scoring/candidate"
	"conoid/sim/sitting"
)

// Those whom the patient misled have less than good work gets, and as much without the
// patient's chance; their logs come to the same marks.
func TestMisled(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes long")
	}
	c, err := cases.Find("gull-counter")
	require.NoError(t, err)
	good, ok := candidate.Find("by the book")
	require.True(t, ok)
	sats, err := All([]*cases.Case{c}, []candidate.Candidate{good}, 12, func(int) {})
	require.NoError(t, err)
	all, err := MisledOf(sats)
	require.NoError(t, err)
	require.NotEmpty(t, all, "such a patient misleads now and then")
	assert.Less(t, len(all), len(sats))
	par, err := scoring.ParOf(c, scoring.ParSeeds)
	require.NoError(t, err)
	for _, m := range all {
		assert.Less(t, m.Total, 90.0)
		assert.GreaterOrEqual(t, m.Calm, 90.0)
		rec, err := sitting.ReadLog(bytes.NewReader(m.Log))
		require.NoError(t, err)
		s := sitting.Start(c.Setup(), rec.Header.Keys)
		require.NoError(t, s.Redo(rec.Events))
		r, err := scoring.Review(c, s, par)
		require.NoError(t, err)
		assert.InDelta(t, m.Total, float64(r.Total), 1e-9)
	}
	var b strings.Builder
	require.NoError(t, WriteMisled(&b, all, sats))
	assert.Contains(t, b.String(), "Of 12 good sittings ")
	assert.Equal(t, len(all)+2, strings.Count(b.String(), "\n|"))

	none, err := MisledOf([]Sat{{Candidate: candidate.Candidate{Group: candidate.Deaf}}, {Candidate: good, Marked: Marked{Total: 90}}})
	require.NoError(t, err)
	assert.Empty(t, none)
}
