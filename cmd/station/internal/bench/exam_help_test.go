package bench

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/scoring/practical"
)

// newPractical is a sealed practical of two cases: five minutes for each, eight
// in all.
func newPractical(t *testing.T) ([]byte, *practical.Keys) {
	t.Helper()
	p := practical.Plan{Title: "Friday", PerCase: 5 * time.Minute, Total: 8 * time.Minute, Show: practical.Shown{Clock: true, Mark: true}}
	for _, c := range cases.Library()[:2] {
		p.Cases = append(p.Cases, practical.Case{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))})
	}
	keys, err := practical.NewKeys()
	require.NoError(t, err)
	plan, err := practical.New(p, keys)
	require.NoError(t, err)
	file, err := plan.Seal(keys, "open sesame")
	require.NoError(t, err)
	return file, keys
}
