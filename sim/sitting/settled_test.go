package sitting

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
)

// An eye is settled once and is then the same; another eye, or another distance of the lens, is
// settled for itself; and not all eyes that ever were are kept.
func TestAnEyeIsSettledOnce(t *testing.T) {
	r := retina.New(patient.Grid())
	e := EyeSetup{Error: optics.Rx{Sphere: -4, Cyl: -1, Axis: 30}, Eye: eye.Eye{Pupil: 3.5}}
	first, best := e.Focused(r, 0.012)
	key := e.key(0.012)
	_, kept := settledEyes.get(key)
	assert.True(t, kept)
	again, same := e.Focused(r, 0.012)
	assert.Equal(t, first, again)
	assert.Equal(t, best, same)
	fresh, _ := e.focused(r, 0.012)
	assert.Equal(t, first, fresh)

	farther, _ := e.Focused(r, 0.014)
	assert.NotEqual(t, first.Needs, farther.Needs)
	other := e
	other.Error.Axis = 31
	turned, _ := other.Focused(r, 0.012)
	assert.NotEqual(t, first.Needs, turned.Needs)
	near := e
	near.Error.Sphere += 1e-9
	assert.NotEqual(t, e.key(0.012), near.key(0.012))
	wider := e
	wider.Eye.Pupil = 4
	_, wide := settledEyes.get(wider.key(0.012))
	assert.False(t, wide)
	for i := range mostSettled + 1 {
		settledEyes.put(fmt.Sprint("any", i), settledEye{})
	}
	assert.LessOrEqual(t, len(settledEyes.eyes), mostSettled)
}
