package trialset

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/optics"
)

// every is the whole drawer of spheres.
func every() []compartment { return compartments(optics.TrialSet{}.Spheres()) }

// wholes are the dioptres that a window shows.
func wholes(all []compartment, first int) (out []int) {
	for _, c := range shown(all, first) {
		out = append(out, c.whole)
	}
	return out
}

// A case of lenses is divided by whole dioptres: each holds its quarters, up to the whole
// one, and what is weaker than a quarter lies at zero (common practice).
func TestTheCaseIsDividedByWholeDioptres(t *testing.T) {
	all := every()
	require.Len(t, all, 41)
	at := map[int][]float64{}
	n := 0
	for _, c := range all {
		at[c.whole] = c.powers
		n += len(c.powers)
		assert.LessOrEqual(t, len(c.powers), 4, "%d", c.whole)
	}
	assert.Equal(t, len(optics.TrialSet{}.Spheres()), n, "no lens is lost")
	assert.Equal(t, []float64{-2, -1.75, -1.5, -1.25}, at[-2])
	assert.Equal(t, []float64{0.25, 0.5, 0.75, 1}, at[1])
	assert.Equal(t, []float64{-0.12, 0.12}, at[0])
	assert.Equal(t, []float64{6.5, 7}, at[7])
	assert.Equal(t, []float64{20}, at[20])
}

// The window shows three whole dioptres, with the lens in use in the middle one unless
// the case ends there.
func TestTheWindowOpensAroundALens(t *testing.T) {
	all := every()
	for power, want := range map[float64][]int{
		-1.75: {-3, -2, -1}, 0: {-1, 0, 1}, 0.25: {0, 1, 2}, -20: {-20, -19, -18}, 20: {18, 19, 20}, -6.5: {-8, -7, -6},
	} {
		assert.Equal(t, want, wholes(all, around(all, power)), "%v", power)
	}
	for _, power := range new(optics.TrialSet).Spheres() {
		low, high := span(shown(all, around(all, power)))
		assert.True(t, low <= power && power <= high, "%v is in view", power)
	}
	few := compartments(optics.TrialSet{}.HeldCylinders())
	assert.Equal(t, []int{-1}, wholes(few, around(few, -0.5)), "all of a short case is seen")
}

// A drag leaves the window's middle where the hand is, and stops at the ends.
func TestTheWindowIsDragged(t *testing.T) {
	all := every()
	for power, want := range map[float64][]int{
		-1.6: {-3, -2, -1}, 0: {-1, 0, 1}, -40: {-20, -19, -18}, 40: {18, 19, 20}, 2.6: {2, 3, 4}, 2.1: {1, 2, 3},
	} {
		assert.Equal(t, want, wholes(all, slid(all, power)), "%v", power)
	}
}

// A key moves the window by one whole dioptre, whatever it turns elsewhere.
func TestTheWindowIsMovedByKeys(t *testing.T) {
	all := every()
	at := around(all, 0)
	assert.Equal(t, []int{0, 1, 2}, wholes(all, stepped(all, at, 5)))
	assert.Equal(t, []int{-2, -1, 0}, wholes(all, stepped(all, at, -1)))
	assert.Equal(t, 0, stepped(all, 0, -5))
	assert.Equal(t, most(all), stepped(all, most(all), 5))
}

// A typed power is a lens of the set, or refused with what the set has instead; the hand
// has fewer.
func TestAPowerIsTyped(t *testing.T) {
	set := optics.TrialSet{}
	l, err := typed(set, false, optics.SphereLens, "−1,75", 30)
	require.NoError(t, err)
	assert.Equal(t, optics.SphereOf(-1.75), l)
	l, err = typed(set, false, optics.CylinderLens, "-6", 30)
	require.NoError(t, err)
	assert.Equal(t, optics.CylinderOf(-6, 30), l)
	l, err = typed(set, true, optics.CylinderLens, "-0.25", 180)
	require.NoError(t, err)
	assert.Equal(t, optics.CylinderOf(-0.25, 180), l)
	for text, kind := range map[string]optics.Kind{"-6.25": optics.CylinderLens, "20.5": optics.SphereLens, "1": optics.CylinderLens, "x": optics.SphereLens, "": optics.SphereLens} {
		_, err := typed(set, false, kind, text, 30)
		assert.Error(t, err, text)
	}
	_, err = typed(set, true, optics.CylinderLens, "-0.75", 30)
	assert.Error(t, err, "the hand has none")
}

func TestAnAxisIsTyped(t *testing.T) {
	for text, want := range map[string]int{"1": 1, " 90 ": 90, "180": 180, "0": 180} {
		axis, ok := axisOf(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, axis, text)
	}
	for _, text := range []string{"181", "-1", "", "4.5", "x"} {
		_, ok := axisOf(text)
		assert.False(t, ok, text)
	}
}

// The ruler and the powers on it are one scale.
func TestTheRuler(t *testing.T) {
	s := ruled{100, 500, -20, 20}
	assert.Equal(t, 300.0, s.x(0))
	assert.Equal(t, 100.0, s.x(-20))
	assert.InDelta(t, -7.25, s.power(s.x(-7.25)), 1e-9)
}
