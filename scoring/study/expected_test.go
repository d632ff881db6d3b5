package study

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cases/study/population"
	"conoid/scoring"
	"conoid/sim/sitting"
)

// As many sittings as bring both standard errors to 0.03 D, within the bounds: twice
// the error takes four times as many.
func TestNeeded(t *testing.T) {
	of := func(sphere, cyl float64) int {
		return needed(&population.Repeats{Sittings: 20, Sphere: population.Estimate{Error: sphere}, Cylinder: population.Estimate{Error: cyl}})
	}
	assert.Equal(t, 20, of(0.01, 0.03))
	assert.Equal(t, 21, of(0.0305, 0))
	assert.Equal(t, 45, of(0, 0.045))
	assert.Equal(t, 80, of(0.06, 0))
	assert.Equal(t, 80, of(0.1, 0))
}

// Marks and losses are those of the single sittings, the commonest loss first.
func TestExpectingIsWhatTheSittingsGet(t *testing.T) {
	c, err := cases.Find("lamp-keeper")
	require.NoError(t, err)
	x := &expecting{out: &Expected{Par: scoring.Par{Seeds: 1, Steps: 60, Seconds: 300}}, lost: map[string]*Lost{}}
	series := population.NewSeries(sitting.Start(c.Setup(), sitting.Seeded(1)), nil)
	var total, lost float64
	var good, equality int
	for range 3 {
		s, err := series.Next()
		require.NoError(t, err)
		require.NoError(t, x.add(c, s))
		r, err := scoring.Review(c, s, x.out.Par)
		require.NoError(t, err)
		total += float64(r.Total) / 3
		if r.Total >= 90 {
			good++
		}
		for _, f := range r.Findings {
			if f.ID == "equality-not-checked" {
				equality++
				lost += float64(f.Cost) / 3
			}
		}
	}
	own := &expecting{out: &Expected{Par: x.out.Par}, lost: map[string]*Lost{}}
	s, err := population.NewSeries(sitting.Start(c.Setup(), sitting.Seeded(1)), &cases.Assignment{Begin: cases.AtSphere}).Next()
	require.NoError(t, err)
	require.NoError(t, own.add(c, s))
	given := slices.IndexFunc(s.Events(), func(e sitting.Event) bool { return e.Aside == nil })
	before := s.Again(s.Keys())
	require.NoError(t, before.Redo(s.Events()[:given]))
	assert.InDelta(t, 60-float64(before.StepsOf(c.Tested).Total()), own.own[0].Steps, 1e-9, "what is given is no work")

	got := x.sum(series.Sum())
	assert.InDelta(t, 60, got.Par.Steps, 0)
	assert.InDelta(t, total, got.Points.Mean, 1e-9)
	assert.Equal(t, good, got.Good)
	require.NotEmpty(t, got.Lost)
	assert.Equal(t, "equality-not-checked", got.Lost[0].ID)
	assert.Equal(t, equality, got.Lost[0].Sittings)
	assert.InDelta(t, lost, got.Lost[0].Points, 1e-9)
	for i, l := range got.Lost[1:] {
		assert.LessOrEqual(t, l.Sittings, got.Lost[i].Sittings)
	}
}
