package chair_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/sim/chart"
	"conoid/sim/sitting"
)

// Each drill begins later than the one before, right before its own work.
func TestDrillsBeginWithTheirOwnWork(t *testing.T) {
	c, h := clerk(t)
	l, err := chair.Begin(c, h, nil, nil)
	require.NoError(t, err)
	whole, err := chair.Given("", l)
	require.NoError(t, err)
	assert.Empty(t, whole)
	last := 0
	for _, d := range cases.Stages() {
		given, err := chair.Given(d, l)
		require.NoError(t, err)
		assert.Greater(t, len(given), last, d)
		last = len(given)
		done := func(chart chart.Name) bool {
			return slices.ContainsFunc(given, func(a sitting.Action) bool { return a.Do == sitting.Show && a.Chart == chart })
		}
		assert.Equal(t, d == cases.AtBlocks || d == cases.AtSphere, done(chart.Arrow), d)
		assert.Equal(t, d == cases.AtSphere, done(chart.Blocks), d)
	}
	assert.Empty(t, l.Events(), "the expert sat elsewhere")
}
