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

// What is told is the plain sum up to there, and what the lenses are worth from there
// on: -4.50 x 30 at 5 mm before the back cell is worth -4.401 (effectivity, as above).
func TestToldIsTheSumUnlessItIsNoticed(t *testing.T) {
	f := NewFrame(0.012)
	f.Lenses[Back], f.Lenses[Front1] = SphereOf(-2), CylinderOf(-4.5, 30)
	told := f.Told(6)
	assert.InDelta(t, -4.5, told.Cyl, 1e-9)
	assert.InDelta(t, -2, told.Sphere, 1e-9)
	assert.InDelta(t, 30, told.Axis, 1e-9)
	assert.InDelta(t, -4.401, f.Effective(math.Inf(1)).Cyl, 0.001)

	f = NewFrame(0.012)
	f.Lenses[Front1] = SphereOf(4.75)
	assert.InDelta(t, 4.75, f.Told(math.Inf(1)).Sphere, 1e-9)
	f.Held = SphereOf(1)
	held := f.Effective(math.Inf(1)).Sphere - Frame{Spacing: f.Spacing, Vertex: f.Vertex, Lenses: f.Lenses}.Effective(math.Inf(1)).Sphere
	assert.InDelta(t, 4.75+held, f.Told(math.Inf(1)).Sphere, 1e-9, "with what is held up, where it is held")
	assert.Greater(t, held, 1.0)
	f.Lenses[Front1] = SphereOf(5)
	assert.Equal(t, f.Effective(math.Inf(1)), f.Told(math.Inf(1)))
}
