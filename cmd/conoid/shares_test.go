package main

import (
	"os"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/render/voice"
)

// The table for tutors is what draws give: of single people always, of sets in a long
// run, as those take seconds.
func TestTheSharesThatAreStatedAreThoseDrawn(t *testing.T) {
	page, err := os.ReadFile("../../cases/TUTORS.md")
	require.NoError(t, err)
	singles, sets := drawnSingles(), []*cases.Case(nil)
	if !testing.Short() {
		sets = drawnSets()
	}
	v := voice.English
	for _, s := range shares(v) {
		row := regexp.MustCompile(`\| ` + regexp.QuoteMeta(v.Capital(s.words)) + ` \| (.*) % \| (.*) % \|`).FindStringSubmatch(string(page))
		require.NotNil(t, row, s.words)
		assert.Equal(t, row[1], v.Value(s.of(singles)), s.words)
		if sets != nil {
			assert.Equal(t, row[2], v.Value(s.of(sets)), s.words)
		}
	}
}

func TestShareOf(t *testing.T) {
	s := share{is: func(c *cases.Case) bool { return c.Level == 2 }}
	assert.InDelta(t, 66.7, float64(s.of([]*cases.Case{{Level: 2}, {Level: 1}, {Level: 2}})), 1e-9)
}
