package optics_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/fact"
	"conoid/sim/optics"
)

// The ranges of a full trial set; common practice, no standard.
func TestTrialSetSpheres(t *testing.T) {
	got := optics.TrialSet{}.Spheres()
	assert.Len(t, got, 2*(1+24+8+10))
	assert.True(t, slices.IsSorted(got))
	assert.Equal(t, -20.0, got[0])
	assert.Equal(t, []float64{
		0.12, 0.25, 0.5, 0.75, 1, 1.25, 1.5, 1.75, 2, 2.25, 2.5, 2.75, 3, 3.25, 3.5, 3.75, 4,
		4.25, 4.5, 4.75, 5, 5.25, 5.5, 5.75, 6, 6.5, 7, 7.5, 8, 8.5, 9, 9.5, 10,
		11, 12, 13, 14, 15, 16, 17, 18, 19, 20,
	}, got[len(got)/2:])
	for _, d := range got {
		assert.Contains(t, got, -d)
	}
}

func TestTrialSetCylinders(t *testing.T) {
	minus := []float64{
		-6, -5.5, -5, -4.5, -4, -3.75, -3.5, -3.25, -3, -2.75, -2.5, -2.25, -2,
		-1.75, -1.5, -1.25, -1, -0.75, -0.5, -0.25,
	}
	assert.Equal(t, minus, optics.TrialSet{}.Cylinders())
	both := optics.TrialSet{PlusCylinders: true}.Cylinders()
	require.Len(t, both, 2*len(minus))
	assert.Equal(t, minus, both[:len(minus)])
	assert.Equal(t, 0.25, both[len(minus)])
	assert.Equal(t, 6.0, both[len(both)-1])
	assert.True(t, slices.IsSorted(both))
}

func TestTrialSetHasWhatItLists(t *testing.T) {
	for _, set := range []optics.TrialSet{{}, {PlusCylinders: true}} {
		for _, d := range set.Spheres() {
			assert.NoError(t, set.Check(optics.SphereOf(d)))
		}
		for _, d := range set.Cylinders() {
			assert.NoError(t, set.Check(optics.CylinderOf(d, 1)))
			assert.NoError(t, set.Check(optics.CylinderOf(d, 180)))
		}
		for _, l := range set.HandHeld() {
			assert.NoError(t, set.CheckHeld(l))
		}
		for _, l := range []optics.Lens{optics.Pinhole(), optics.Occluder(), {}} {
			assert.NoError(t, set.Check(l))
		}
		assert.NoError(t, set.CheckHeld(optics.Lens{}))
	}
}

func TestTrialSetRefuses(t *testing.T) {
	set := optics.TrialSet{}
	between := func(k optics.Kind, power, below, above fact.Power) fact.Fact {
		return fact.New("optics.between", "kind", k, "power", power, "below", below, "above", above)
	}
	nearest := func(k optics.Kind, power, nearest fact.Power) fact.Fact {
		return fact.New("optics.nearest", "kind", k, "power", power, "nearest", nearest)
	}
	for _, c := range []struct {
		lens optics.Lens
		why  fact.Fact
	}{
		{optics.SphereOf(1.1), between(optics.SphereLens, 1.1, 1, 1.25)},
		{optics.SphereOf(-6.25), between(optics.SphereLens, -6.25, -6.5, -6)},
		{optics.SphereOf(-0.375), between(optics.SphereLens, -0.375, -0.5, -0.25)},
		{optics.SphereOf(0), between(optics.SphereLens, 0, -0.12, 0.12)},
		{optics.SphereOf(20.5), nearest(optics.SphereLens, 20.5, 20)},
		{optics.SphereOf(-30), nearest(optics.SphereLens, -30, -20)},
		{optics.SphereOf(math.NaN()), fact.New("optics.no-power", "kind", optics.SphereLens)},
		{optics.CylinderOf(-4.25, 90), between(optics.CylinderLens, -4.25, -4.5, -4)},
		{optics.CylinderOf(-7, 90), nearest(optics.CylinderLens, -7, -6)},
		{optics.CylinderOf(1, 90), fact.New("optics.minus-only", "power", fact.Power(1))},
		{optics.CylinderOf(-1, 22.5), fact.New("optics.axis-not-set", "axis", fact.Number(22.5))},
		{optics.Lens{optics.CylinderLens, -1, 0}, fact.New("optics.axis-not-set", "axis", fact.Number(0))},
		{optics.Lens{Kind: 99}, fact.New("optics.no-kind", "kind", 99)},
	} {
		assert.Equal(t, c.why, why(t, set.Check(c.lens)))
	}
	assert.Equal(t, fact.New("optics.not-held", "lens", optics.SphereOf(2), "powers", []fact.Power{-0.5, -0.25, 0.25, 0.5, 1}, "cylinders", []fact.Power{-0.5, -0.25}),
		why(t, set.CheckHeld(optics.SphereOf(2))))
	for _, c := range []struct {
		power, axis float64
		ok          bool
	}{{-0.25, 90, true}, {-0.5, 1, true}, {-0.5, 180, true}, {-0.75, 90, false}, {0.25, 90, false}, {-0.25, 0, false}, {-0.25, 181, false}, {-0.25, 30.5, false}} {
		err := set.CheckHeld(optics.Lens{Kind: optics.CylinderLens, Power: c.power, Axis: c.axis})
		assert.Equal(t, c.ok, err == nil, "%+v", c)
	}
	assert.Error(t, set.CheckHeld(optics.Occluder()))
}

// why is the fact that an error is.
func why(t *testing.T, err error) fact.Fact {
	t.Helper()
	var told fact.Told
	require.ErrorAs(t, err, &told)
	return told.Tell()
}

func TestNeighbour(t *testing.T) {
	set := optics.TrialSet{PlusCylinders: true}
	for _, c := range []struct {
		lens  optics.Lens
		steps int
		want  optics.Lens
		ok    bool
	}{
		{optics.SphereOf(1), 1, optics.SphereOf(1.25), true},
		{optics.SphereOf(1), -1, optics.SphereOf(0.75), true},
		{optics.SphereOf(6), 2, optics.SphereOf(7), true},
		{optics.SphereOf(-0.12), 1, optics.SphereOf(0.12), true},
		{optics.SphereOf(1), 0, optics.SphereOf(1), true},
		{optics.SphereOf(20), 1, optics.Lens{}, false},
		{optics.SphereOf(-20), -1, optics.Lens{}, false},
		{optics.SphereOf(1), math.MaxInt, optics.Lens{}, false},
		{optics.SphereOf(1), math.MinInt, optics.Lens{}, false},
		{optics.SphereOf(1.1), 1, optics.Lens{}, false},
		{optics.CylinderOf(-1, 35), -1, optics.CylinderOf(-1.25, 35), true},
		{optics.CylinderOf(-0.25, 35), 1, optics.CylinderOf(0.25, 35), true},
		{optics.Pinhole(), 1, optics.Lens{}, false},
		{optics.Lens{}, 1, optics.Lens{}, false},
	} {
		got, ok := set.Neighbour(c.lens, c.steps)
		assert.Equal(t, c.ok, ok, "%v, %d", c.lens, c.steps)
		assert.Equal(t, c.want, got, "%v, %d", c.lens, c.steps)
	}
	_, ok := optics.TrialSet{}.Neighbour(optics.CylinderOf(-0.25, 35), 1)
	assert.False(t, ok, "no plus cylinders in this set")
}
