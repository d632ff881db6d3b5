package optics

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A strong lens further from the eye acts more strongly as plus: 10 D at 5 mm
// before the back cell is worth 10/(1 - 0.005*10) = 10.53 D there (effectivity,
// handbook formula).
func TestWorn(t *testing.T) {
	f := NewFrame(0.012)
	f.Lenses[Front1] = SphereOf(10)
	f.Held = SphereOf(1)
	worn, other := f.Worn(math.Inf(1))
	assert.InDelta(t, 10.53, worn.Sphere, 0.006)
	assert.True(t, other)
}

// 5.00 D there is worth 5.128 D and 4.75 D is worth 4.866 D: 0.128 D and 0.116 D
// more, on either side of what is noticed.
func TestWornIsSaidWhereItIsNoticed(t *testing.T) {
	f := NewFrame(0.012)
	f.Lenses[Front1] = SphereOf(5)
	_, other := f.Worn(math.Inf(1))
	assert.True(t, other)
	f.Lenses[Front1] = SphereOf(4.75)
	_, other = f.Worn(math.Inf(1))
	assert.False(t, other)
}
