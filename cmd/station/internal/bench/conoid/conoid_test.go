package conoid

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/render"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// The caption says so when the patient accommodates, since the focal lines then
// lie elsewhere than lens and error alone would have them, and else not.
func TestAccommodationIsTold(t *testing.T) {
	v := voice.Voice{}
	told := v.Text("bench.conoid.focus", "power", fact.Amount(0.75))
	apart := optics.Power{M: 0.5, J0: 0.25}
	assert.Contains(t, text(v, apart, 0.75), told)
	assert.Contains(t, text(v, optics.Sphere(0.5), 0.75), told)

	silent := text(v, apart, 0)
	assert.Equal(t, silent, text(v, apart, render.Stigmatic), "so little is none")
	assert.NotEqual(t, silent, text(v, apart, render.Stigmatic+0.001))
	for _, focus := range []float64{0, render.Stigmatic} {
		assert.NotContains(t, text(v, apart, focus), "accommodates")
	}
}

// The caption names both lines as soon as they are drawn as two.
func TestThePointIsTold(t *testing.T) {
	v := voice.Voice{}
	told := func(interval float64) string { return text(v, optics.Power{M: 1, J0: interval / 2}, 0) }
	point := v.Text("bench.conoid.point", "place", v.Text("place.before", "power", fact.Amount(1)))
	assert.Equal(t, point, told(render.Stigmatic-0.001))
	assert.NotEqual(t, point, told(render.Stigmatic+0.001))
	assert.Contains(t, told(render.Stigmatic+0.001), "1.03")
}
