package sitting

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
	"conoid/sim/patient"
)

// Long work is cut into pieces, and the pauses change nothing.
func TestPausesChangeNothing(t *testing.T) {
	pauses := 0
	paused := StartPausing(usual(), Seeded(5), func() { pauses++ })
	assert.Greater(t, pauses, 5, "in settling the focus")
	plain := Start(usual(), Seeded(5))
	for _, a := range []Action{
		{Do: Show, Chart: chart.Letters}, {Do: Ask, Question: patient.ReadLetters},
		{Do: Show, Chart: chart.Fan}, {Do: Ask, Question: patient.WhichLines},
	} {
		before := pauses
		got, err := paused.Do(a)
		require.NoError(t, err)
		want, err := plain.Do(a)
		require.NoError(t, err)
		assert.Equal(t, want, got)
		if a.Question == patient.ReadLetters {
			assert.Greater(t, pauses, before)
		}
	}
}
