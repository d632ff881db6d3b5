package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/optics"
)

// What lines of a card may differ by before they contradict each other, on either side:
// a row of letters, a dioptre.
func TestContradictions(t *testing.T) {
	right := func() (reading, *Eye) {
		return reading{Card{Unaided: 0.5, Sphere: -1, BestSphere: 0.1}, 0, -0.1}, &Eye{Objective: optics.Rx{Sphere: -1}}
	}
	for name, c := range map[string]struct {
		change func(*reading, *Eye)
		want   []string
	}{
		"none":                    {func(*reading, *Eye) {}, nil},
		"unaided a row better":    {func(r *reading, _ *Eye) { r.Unaided = 0 }, nil},
		"unaided better still":    {func(r *reading, _ *Eye) { r.Unaided, r.Objective = -0.02, -0.02 }, []string{"case.mind.card-unaided (lens -1, sphere 0.1, unaided -0.02)"}},
		"a row more than it can":  {func(r *reading, e *Eye) { r.BestSphere, e.BestSphere = -0.2, "6/3.8" }, nil},
		"more than it can":        {func(r *reading, e *Eye) { r.BestSphere, e.BestSphere = -0.22, "6/3.6" }, []string{"case.mind.card-beyond (best -0.1, given -0.22)"}},
		"more than it can, bare":  {func(r *reading, e *Eye) { r.Unaided, r.BestSphere, r.Objective, e.Unaided = -0.22, -0.2, -0.2, "6/3.6" }, []string{"case.mind.card-beyond (best -0.1, given -0.22)"}},
		"seen, not given":         {func(r *reading, _ *Eye) { r.BestSphere = -0.22 }, nil},
		"a row worse in the lens": {func(r *reading, _ *Eye) { r.Objective = 0.6 }, nil},
		"worse still in the lens": {func(r *reading, _ *Eye) { r.Objective = 0.62 }, []string{"case.mind.card-objective (objective −1.00 DS, reads 0.62, unaided 0.5)"}},
		"a dioptre apart":         {func(r *reading, _ *Eye) { r.Sphere = -2 }, nil},
		"further apart":           {func(r *reading, _ *Eye) { r.Sphere = 0.25 }, []string{"case.mind.card-apart (apart 1.25, lens 0.25, objective −1.00 DS)"}},
	} {
		r, e := right()
		c.change(&r, e)
		assert.Equal(t, c.want, listed(contradictions(r, e)), name)
	}
	assert.Empty(t, checkContradictions(mustRead(t, plain)))
	lens := listed(checkContradictions(mustRead(t, with("", "best-sphere-lens = +1"))))
	assert.Len(t, lens, 2, "seen through it: %v", lens)
}
