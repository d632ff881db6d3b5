package render

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/optics"
)

// The ruler stays as long as the lines have room on it, and until it is more than two dioptres
// too long at an end.
func TestTheRulerStays(t *testing.T) {
	at := func(front, back float64) optics.Power {
		return optics.Rx{Sphere: -back, Cyl: back - front, Axis: 180}.Power().Scale(-1)
	}
	first := Ruler{}.For(at(2.2, 0.5))
	assert.Equal(t, Ruler{3.5, 0.5}, first)
	for _, residual := range []optics.Power{at(1, 0.5), at(0.5, 0.5), at(3.1, 0.5), at(0, 0)} {
		assert.Equal(t, first, first.For(residual))
	}
	assert.Equal(t, Ruler{4.5, 0.5}, first.For(at(3.2, 0.5)), "no room before the retina")
	assert.Equal(t, Ruler{3.5, 1.5}, first.For(at(2.2, -0.2)), "none behind it")
	assert.Equal(t, Ruler{5.5, 0.5}, Ruler{5.5, 0.5}.For(at(2.2, 0.5)), "two dioptres too long")
	assert.Equal(t, Ruler{3.5, 0.5}, Ruler{5.51, 0.5}.For(at(2.2, 0.5)), "and more")
}
