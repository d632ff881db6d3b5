package class

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/scoring/cohort"
	"conoid/scoring/practical"
)

// Worked by hand: who sits a case second has 10 points more in it than who sits it first,
// whichever case it is; case 2 gives 20 more to everybody.
func TestEffectsOfTimeAndOrder(t *testing.T) {
	p := friday(t, nil)
	c := &Class{Cases: []Case{{}, {}}, PassMark: cohort.Number(80)}
	firsts := [2]int{}
	for i := 0; firsts[0] < 3 || firsts[1] < 3; i++ {
		n := "K" + string(rune('A'+i%26)) + string(rune('A'+i/26))
		order := p.Entry(n).Order()
		if firsts[order[0]] == 3 {
			continue
		}
		firsts[order[0]]++
		s := &practical.Sheet{Candidate: n, Cases: []practical.CaseMark{{Points: 30}, {Points: 50}}}
		s.Cases[order[1]].Points += 10
		c.Sheets = append(c.Sheets, s)
	}
	c.Sheets[0].Extra, c.Sheets[1].Extra = 0.25, 0.25
	c.Sheets[0].Points, c.Sheets[1].Points, c.Sheets[2].Points = 80, 79.99, 81
	for _, s := range c.Sheets[3:] {
		s.Points = 60
	}
	c.effects(p)
	assert.Equal(t, []int{2, 4}, []int{c.Reach, c.Miss}, "just the mark is enough")
	assert.Equal(t, []int{2, 4}, []int{c.WithExtra.N, c.WithoutExtra.N})
	assert.Equal(t, "practical.small-group", c.WithExtra.Mean.Why.ID)
	assert.InDelta(t, 65.25, c.WithoutExtra.Mean.V, 1e-9)
	if assert.Len(t, c.Places, 2) {
		assert.Equal(t, []int{6, 6}, []int{c.Places[0].N, c.Places[1].N})
		assert.InDelta(t, -5, c.Places[0].Off.V, 1e-9)
		assert.InDelta(t, 5, c.Places[1].Off.V, 1e-9)
	}
	p.Shuffle = false
	d := &Class{Cases: c.Cases, Sheets: c.Sheets[3:]}
	d.effects(p)
	assert.Nil(t, d.Places, "all have the same order")
	assert.Nil(t, d.WithExtra)
	assert.Equal(t, 0, d.Reach+d.Miss, "nobody passes or fails without a pass mark")
	assert.True(t, meanOf([]float64{1, 2, 3}).OK)
	assert.False(t, meanOf([]float64{1, 2}).OK)
}
