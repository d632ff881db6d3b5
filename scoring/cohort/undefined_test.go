package cohort

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/fact"
)

// Worked by hand: 103 misses an item, so that totals are of two candidates
// only, while the other item still counts for its difficulty.
func TestMissingIsNotZero(t *testing.T) {
	r := Results{
		Candidates: []string{"101", "102", "103"},
		Items:      []Item{{"fog", 4}, {"axis", 2}},
		Points:     [][]Value{row(4, 1), row(2, 1), {None(fact.New("test.ill")), Number(2)}},
	}
	c, err := Describe(r)
	require.NoError(t, err)
	assert.Equal(t, []string{"103"}, c.LeftOut)
	assert.Equal(t, Number(4), c.Mean)
	assert.Equal(t, Number(0.75), c.Items[0].Difficulty)
	assert.InDelta(t, 4.0/6, c.Items[1].Difficulty.V, 1e-12)
	assert.Equal(t, 2, c.Items[0].Taken)
	assert.Equal(t, "cohort.few-complete", c.Alpha.Why.ID)
	assert.Equal(t, "cohort.no-alpha", c.SEM.Why.ID)
	assert.Equal(t, "cohort.few-complete", c.Items[0].Discrimination.Why.ID)
}

func TestNotDefined(t *testing.T) {
	describe := func(items int, rows ...[]Value) *Class {
		r := Results{Points: rows}
		for i := range items {
			r.Items = append(r.Items, Item{string(rune('a' + i)), 10})
		}
		for c := range rows {
			r.Candidates = append(r.Candidates, string(rune('A'+c)))
		}
		c, err := Describe(r)
		require.NoError(t, err)
		return c
	}
	assert.Equal(t, "cohort.nobody-complete", describe(2).Mean.Why.ID)
	assert.Equal(t, "cohort.nobody-has-item", describe(2).Items[0].Difficulty.Why.ID)
	assert.Equal(t, "cohort.one-alone", describe(2, row(1, 2)).SD.Why.ID)
	assert.Equal(t, "cohort.few-items", describe(1, row(1), row(2), row(3)).Alpha.Why.ID)
	assert.Equal(t, "cohort.no-other-item", describe(1, row(1), row(2), row(3)).Items[0].Discrimination.Why.ID)
	assert.Equal(t, "cohort.totals-alike", describe(2, row(1, 3), row(2, 2), row(3, 1)).Alpha.Why.ID)
	// The same totals, summed in another order, are the same totals.
	assert.Equal(t, "cohort.totals-alike", describe(3, row(.1, .2, .3), row(.3, .2, .1), row(.2, .3, .1)).Alpha.Why.ID)
	assert.Equal(t, "cohort.item-alike", describe(2, row(1, 3), row(1, 2), row(1, 1)).Items[0].Discrimination.Why.ID)
	assert.Equal(t, "cohort.rest-alike", describe(2, row(1, 3), row(1, 2), row(1, 1)).Items[1].Discrimination.Why.ID)

	against := describe(2, row(1, 9), row(5, 3), row(9, 1), row(2, 2))
	assert.Negative(t, against.Alpha.V)
	assert.Equal(t, "cohort.alpha-negative", against.SEM.Why.ID)
	assert.Equal(t, "cohort.alpha-negative", against.Band95.Why.ID)
}

func TestDescribeAsJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, err := Describe(anyResults(t))
		require.NoError(t, err)
		data, err := json.Marshal(c)
		require.NoError(t, err)
		var back Class
		require.NoError(t, json.Unmarshal(data, &back))
		again, err := json.Marshal(back)
		require.NoError(t, err)
		require.JSONEq(t, string(data), string(again))
	})
}

// An alpha of 0 comes out a little below it when its sums are rounded.
func TestAnAlphaOfNothingButRounding(t *testing.T) {
	assert.True(t, SEM(Number(2), Number(-1e-13)).OK)
	assert.False(t, SEM(Number(2), Number(-1e-11)).OK)
}
