package scoring

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// What was done for a student is no fault of theirs, and no step; what they did
// themselves is, from the first event on.
func TestWhatWasGivenIsNoWork(t *testing.T) {
	c := slip(t, "")
	lead := sitting.Action{Do: sitting.Ask, Question: patient.WhichLines, Leading: "lines"}
	before := []sitting.Action{
		{Do: sitting.Take, Cell: sitting.In(optics.Front1)}, {Do: sitting.Show, Chart: chart.Fan}, lead, lead, lead, lead,
	}
	marked := func(given int, own ...sitting.Action) *Report {
		s := sitting.Start(c.Setup(), sitting.Seeded(1))
		for i, a := range append(slices.Clone(before), own...) {
			_, err := s.Do(a)
			require.NoError(t, err)
			if i < given {
				s.Annotate(sitting.Aside{Given: true})
			}
		}
		r, err := Review(c, s, easyPar)
		require.NoError(t, err)
		return r
	}
	has := func(r *Report, id string) bool {
		return slices.ContainsFunc(r.Findings, func(f Finding) bool { return f.ID == id })
	}
	all := len(before)
	assert.True(t, has(marked(0, end("-1.00/-2.00x30")), "leading-question"))
	assert.True(t, has(marked(all-1, end("-1.00/-2.00x30")), "leading-question"), "the last was their own")
	assert.False(t, has(marked(all, end("-1.00/-2.00x30")), "leading-question"))
	assert.True(t, has(marked(all, lead, end("-1.00/-2.00x30")), "leading-question"))

	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	do(t, s, before...)
	whole := fact.Points(s.StepsOf(sitting.Right).Total())
	g, err := givenIn(s)
	require.NoError(t, err)
	assert.Zero(t, g)
	assert.InDelta(t, float64(whole), float64(stepsOfAll(t, c, before)), 0)
}

// stepsOfAll is how many steps are given where all is.
func stepsOfAll(t *testing.T, c *cases.Case, actions []sitting.Action) int {
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	for _, a := range actions {
		_, err := s.Do(a)
		require.NoError(t, err)
		s.Annotate(sitting.Aside{Given: true})
	}
	g, err := givenIn(s)
	require.NoError(t, err)
	assert.Equal(t, len(actions), g.events)
	assert.Equal(t, Par{Steps: 40 - float64(g.steps), Seconds: 200 - g.seconds}, g.par(Par{Steps: 40, Seconds: 200}))
	assert.Equal(t, Par{Steps: 1, Seconds: 1}, g.par(Par{Steps: 2, Seconds: 1}))
	return g.steps
}
