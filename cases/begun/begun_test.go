package begun

import (
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// clerk is a sitting of the ferry clerk in which nothing was done yet.
func clerk() *sitting.Sitting { return first().Again(sitting.Seeded(1)) }

var first = sync.OnceValue(func() *sitting.Sitting {
	c, err := cases.Find("ferry-clerk")
	if err != nil {
		panic(err)
	}
	return sitting.Start(c.Setup(), sitting.Seeded(1))
})

// actions are what was done in a sitting, and how much of it was given.
func actions(s *sitting.Sitting) (all []sitting.Action, given int) {
	for _, e := range s.Events() {
		all = append(all, e.Action)
		if e.Aside != nil && e.Aside.Given {
			given++
		}
	}
	return all, given
}

// Whoever works by the book from a stage on does what the expert does who began before it;
// what comes before is marked as given.
func TestTheExpertGoesOnFromAStage(t *testing.T) {
	whole := clerk()
	_, err := expert.Examine(whole, expert.BriefOf(whole.Setup()))
	require.NoError(t, err)
	want, _ := actions(whole)
	for _, at := range append(cases.Stages(), "") {
		given, reached, err := Given(at, clerk())
		require.NoError(t, err)
		assert.Equal(t, at, reached)
		s := clerk()
		_, err = Examine(s, &cases.Assignment{Begin: at})
		require.NoError(t, err)
		did, n := actions(s)
		assert.Equal(t, want, did, at)
		assert.Len(t, given, n, at)
	}
}

// Where there is no such stage, the work begins at the last one that there is.
func TestAStageThatDoesNotComeAbout(t *testing.T) {
	put, fan, letters := sitting.Action{Do: sitting.Put}, sitting.Action{Do: sitting.Show, Chart: chart.Fan}, sitting.Action{Do: sitting.Show, Chart: chart.Letters}
	n, reached := begins(cases.AtBlocks, []sitting.Action{put, fan, letters})
	assert.Equal(t, 1, n)
	assert.Equal(t, cases.AtFan, reached)
	n, reached = begins(cases.AtSphere, []sitting.Action{put, fan, letters})
	assert.Equal(t, 2, n)
	assert.Equal(t, cases.AtSphere, reached)
}

// The terms hold for the own work, and not for what is given.
func TestTheTermsHoldForTheOwnWork(t *testing.T) {
	blocks := &cases.Assignment{Title: "Blocks", Begin: cases.AtBlocks, Charts: []chart.Name{chart.Clock, chart.Blocks, chart.Letters}}
	s := clerk()
	_, err := Examine(s, blocks)
	require.NoError(t, err)
	all, given := actions(s)
	shown := func(of []sitting.Action, c chart.Name) bool {
		return slices.ContainsFunc(of, func(a sitting.Action) bool { return a.Do == sitting.Show && a.Chart == c })
	}
	assert.True(t, shown(all[:given], chart.Fan))
	assert.False(t, shown(all, chart.Clock), "what is given is as usual")
	assert.False(t, shown(all, chart.Duochrome), "left out, and done without")

	c, err := Sit(clerk(), blocks)
	require.NoError(t, err)
	require.NoError(t, c.Begin())
	_, err = c.Do(sitting.Action{Do: sitting.Show, Chart: chart.Fan})
	_, barred := cases.Barred(err)
	assert.True(t, barred)
	assert.Len(t, c.Events(), given)
	_, err = c.Do(sitting.Action{Do: sitting.Show, Chart: chart.Blocks})
	assert.NoError(t, err)
}

// A chart of the same kind stands in for one that is left out; what nothing stands in for
// ends the work, with its reason.
func TestWhatStandsInForAChart(t *testing.T) {
	s := clerk()
	_, err := Examine(s, &cases.Assignment{Charts: []chart.Name{chart.Clock, chart.Arrow, chart.Blocks, chart.Letters}})
	require.NoError(t, err)
	all, _ := actions(s)
	assert.True(t, slices.ContainsFunc(all, func(a sitting.Action) bool { return a.Chart == chart.Clock }))

	_, err = Examine(clerk(), &cases.Assignment{Questions: []patient.Question{patient.WhichLines, patient.ReadLetters}})
	why, barred := cases.Barred(err)
	assert.True(t, barred)
	assert.Equal(t, patient.WithLens, why.Values["question"])
}
