package bench

import (
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/scoring/practical"
)

// usual is the practical that most tests sit, which is sealed once: that takes long.
var usual = sync.OnceValues(func() (s sealed, err error) { return seal(nil) })

// sealed is a sealed practical, and its assessor's keys.
type sealed struct {
	file []byte
	keys *practical.Keys
}

// newPractical is a sealed practical of two cases: five minutes for each, eight
// in all; changed, if there is a change.
func newPractical(t *testing.T, change func(*practical.Plan)) ([]byte, *practical.Keys) {
	t.Helper()
	if change == nil {
		s, err := usual()
		require.NoError(t, err)
		return slices.Clone(s.file), s.keys
	}
	s, err := seal(change)
	require.NoError(t, err)
	return s.file, s.keys
}

func seal(change func(*practical.Plan)) (sealed, error) {
	p := practical.Plan{Title: "Friday", PerCase: 5 * time.Minute, Total: 8 * time.Minute, Show: practical.Shown{Clock: true, Mark: true}}
	for _, c := range cases.Library()[:2] {
		p.Cases = append(p.Cases, practical.Case{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))})
	}
	if change != nil {
		change(&p)
	}
	keys, err := practical.NewKeys()
	if err != nil {
		return sealed{}, err
	}
	plan, err := practical.New(p, keys)
	if err != nil {
		return sealed{}, err
	}
	file, err := plan.Seal(keys, "open sesame")
	return sealed{file, keys}, err
}
