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
	front, back := optics.Power{M: 0.5, J0: 0.25}.FocalLines()
	assert.Contains(t, text(v, front, back, 0.75), told)
	assert.Contains(t, text(v, front, front, 0.75), told)

	silent := text(v, front, back, 0)
	assert.Equal(t, silent, text(v, front, back, render.Stigmatic), "so little is none")
	assert.NotEqual(t, silent, text(v, front, back, render.Stigmatic+0.001))
	for _, focus := range []float64{0, render.Stigmatic} {
		assert.NotContains(t, text(v, front, back, focus), "accommodates")
	}
}
