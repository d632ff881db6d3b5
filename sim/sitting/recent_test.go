package sitting

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/chart"
	"conoid/sim/optics"
)

// What was not used for longest is forgotten first, and is worked out again.
func TestRecent(t *testing.T) {
	t.Parallel()
	r, worked := newRecent[int, string](3), 0
	get := func(key int) {
		assert.Equal(t, string(rune('a'+key)), r.get(key, func() string { worked++; return string(rune('a' + key)) }))
	}
	for _, key := range []int{1, 2, 3, 1, 4, 3, 1} { // 4 has 2 forgotten
		get(key)
	}
	assert.Equal(t, 4, worked)
	assert.Equal(t, 3, r.len())
	get(2)
	assert.Equal(t, 5, worked)
	r.keep(1)
	assert.Equal(t, 1, r.len())
	get(2)
	assert.Equal(t, 5, worked)
	get(1)
	assert.Equal(t, 1, r.len())
	assert.Len(t, r.at, 1)
}

// A patient whom many examine remembers no more views than it is told, whatever is put
// before the eyes, and answers as one who remembers all.
func TestAPatientRemembersSoMuch(t *testing.T) {
	t.Parallel()
	forgetful, other := Start(usual(), Seeded(1)), Start(usual(), Seeded(1))
	forgetful.Remember(3)
	second := forgetful.Again(Seeded(2))
	for _, s := range []*Sitting{forgetful, other, second} {
		do(t, s, Action{Do: Show, Chart: chart.Fan})
		for k := range 6 {
			do(t, s, Action{Do: Exchange, Lens: optics.SphereOf(-2 + 0.25*float64(k%5))})
			do(t, s, Action{Do: Ask, Question: s.Questions()[0]})
		}
	}
	assert.Equal(t, other.Events(), forgetful.Events())
	assert.Equal(t, 3, second.seen.len(), "both remember together")
	assert.Greater(t, other.seen.len(), 3)
}
