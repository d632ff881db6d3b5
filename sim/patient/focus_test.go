package patient

import (
	"testing"

	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/retina"

	"github.com/stretchr/testify/assert"
)

// The clinical error is the most plus that costs no more than Tolerance.
func TestOffsetIsTheMostPlusWithinTolerance(t *testing.T) {
	t.Parallel()
	r := standard()
	for name, e := range map[string]eye.Eye{"bare": bare(4), "drawn": fromNorms(generator(11), 4)} {
		offset, best := Offset(r, e)
		at := func(plus float64) float64 { return with(e, optics.Sphere(plus)).Look(r).Acuity() }
		const grain = 0.005 // of an acuity between two that were worked out
		assert.InDelta(t, best+Tolerance, at(offset), grain, name)
		assert.Greater(t, at(offset+0.125), best+Tolerance, name)
		for _, less := range []float64{0.25, 0.5} {
			assert.GreaterOrEqual(t, at(offset-less), best-grain, "%s: no lens is better than the best", name)
		}
		if name == "bare" {
			assert.Positive(t, offset, "depth of focus lets plus in")
			assert.Less(t, offset, 0.5)
		}
	}
}

// The walk through the valley ends at its floor: no lens of the whole range is
// better, whatever the pupil and its aberrations.
func TestOffsetMissesNoBetterFocus(t *testing.T) {
	skipInShort(t)
	t.Parallel()
	r, g := retina.New(Grid()), generator(14)
	for k := range 12 {
		e := fromNorms(g, 2.5+4.5*g.Float64())
		_, best := Offset(r, e)
		for p := focusFrom; p <= focusTo; p += focusCoarse {
			assert.GreaterOrEqual(t, acuityAt(r, e, p), best, "eye %d, pupil of %.1f mm, %v D", k, e.Pupil, p)
		}
	}
}

func TestOffsetDoesNotDependOnTheRefraction(t *testing.T) {
	t.Parallel()
	r := standard()
	e := bare(4)
	o1, b1 := Offset(r, e)
	o2, b2 := Offset(r, Focused(e, optics.Rx{Sphere: -3, Cyl: -2, Axis: 70}, optics.Sphere(0.1), backCell, sixMetres))
	assert.Equal(t, o1, o2)
	assert.Equal(t, b1, b2)
}

// An eye that is focused on a correction has its balance, and by its own
// reckoning nothing, left behind that correction.
func TestFocusedLeavesTheBalance(t *testing.T) {
	rx := optics.Rx{Sphere: 2.25, Cyl: -1.75, Axis: 65}
	balance := optics.Power{M: 0.125, J0: 0.05, J45: -0.03}
	e := Focused(bare(4), rx, balance, backCell, sixMetres)
	through := optics.Required(rx, backCell, sixMetres)
	assert.InDelta(t, 0, e.Residual(through, 0).Sub(balance).Norm(), 1e-12)
	assert.InDelta(t, 0, e.Left(through, 0).Norm(), 1e-12)
	assert.InDelta(t, 0.75, e.Left(through, 0.75).M, 1e-12)
	s := Through(e, through, 0, 0).accommodated(0.5)
	assert.InDelta(t, 0.5, s.Left.M, 1e-12)
	assert.InDelta(t, 0.625, s.Pupil.Residual.M, 1e-12)
}

// A pinhole narrows the pupil, and only narrows it.
func TestApertureNarrowsThePupil(t *testing.T) {
	assert.Equal(t, optics.PinholeDiameter, Through(bare(4), optics.Power{}, 0, optics.PinholeDiameter).Pupil.Diameter)
	assert.Equal(t, 4.0, Through(bare(4), optics.Power{}, 0, 6).Pupil.Diameter)
	assert.Equal(t, 4.0, Through(bare(4), optics.Power{}, 0, 0).Pupil.Diameter)
	r := standard()
	open := Through(bare(4), optics.Sphere(2), 0, 0).Look(r).Acuity()
	pinhole := Through(bare(4), optics.Sphere(2), 0, optics.PinholeDiameter).Look(r).Acuity()
	assert.Less(t, pinhole, open-0.2, "a pinhole helps a blurred eye: common practice")
}
