package scoring

import (
	"testing"

	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/sim/expert"
	"conoid/sim/sitting"
)

// A finished sitting is reviewed: gone through once more, every rule asked.
func BenchmarkReview(b *testing.B) {
	c, err := cases.Find("ferry-clerk")
	require.NoError(b, err)
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	_, err = expert.Examine(s, expert.BriefOf(s.Setup()))
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		r, err := Review(c, s, easyPar)
		require.NoError(b, err)
		require.NotNil(b, r.Mark)
	}
}

// Par of a case, a new person each time.
func BenchmarkParOf(b *testing.B) {
	c, err := cases.Find("ferry-clerk")
	require.NoError(b, err)
	for b.Loop() {
		p, err := ParOf(c, ParSeeds)
		require.NoError(b, err)
		require.Positive(b, p.Steps)
	}
}
