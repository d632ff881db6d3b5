package patient

import (
	"testing"

	"conoid/sim/optics"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWantedAccommodation(t *testing.T) {
	t.Parallel()
	f := NewFocuser()
	wanted := func(residual optics.Power, amplitude float64) Range {
		return f.Wanted(with(bare(4), residual), amplitude)
	}
	assert.InDelta(t, 1, wanted(optics.Sphere(-1), 8).Middle(), 0.26, "a young hyperope clears his own dioptre")
	assert.InDelta(t, 3, wanted(optics.Sphere(-3), 8).Middle(), 0.26)
	assert.InDelta(t, 1, wanted(optics.Sphere(-2), 1).Middle(), 0.1, "as far as the amplitude goes")
	assert.Equal(t, Range{}, wanted(optics.Sphere(-3), 0), "a presbyope cannot")

	assert.Equal(t, Range{}, wanted(optics.Sphere(0.25), 8), "more plus only blurs")
	for _, fog := range []float64{0.5, 1} {
		assert.Equal(t, Range{}, wanted(optics.Sphere(fog), 8), "fogged by %v D", fog)
		assert.Equal(t, Range{}, wanted(between(fog, 1, 30), 8), "both lines before the retina")
	}
	lost := wanted(optics.Sphere(6), 8)
	assert.True(t, lost.Adrift, "nothing is left to look at")
	assert.Equal(t, Range{lost.Low, lost.Low, true}, lost)
	assert.LessOrEqual(t, lost.Low, 2.0)
	assert.Positive(t, wanted(between(-1, 0.5, 30), 8).Low, "both lines behind the retina")

	g := generator(12)
	for range 6 {
		amplitude := 3 * g.Float64()
		r := f.Wanted(with(fromNorms(g, 4), anyBlur(g).Sub(optics.Sphere(1))), amplitude)
		assert.GreaterOrEqual(t, r.Low, 0.0)
		assert.GreaterOrEqual(t, r.High, r.Low)
		assert.LessOrEqual(t, r.High, amplitude)
	}
}

// The search makes do with a coarse grid; it must see what the fine one sees.
func TestTheSearchSeesTheSameImage(t *testing.T) {
	t.Parallel()
	f := NewFocuser()
	for _, d := range []float64{0, 0.25, 1, 2} {
		p := with(bare(4), optics.Sphere(d)).Pupil
		transfer, err := f.renderer.Transfer(p, searchLight)
		require.NoError(t, err)
		for i, want := range fine(t, p, searchLight, 90)[:40] {
			got := transfer.At(lineFrequencies[i], 0)
			require.InDelta(t, real(want), real(got), 0.02, "%v D, %v c/deg", d, lineFrequencies[i])
		}
	}
}

// Green reports whether white need be looked at: where a large stroke is plainly
// seen in it, accommodation does not drift.
func TestGreenTellsOfWhite(t *testing.T) {
	t.Parallel()
	f, g := NewFocuser(), generator(15)
	near := 0
	for range 300 {
		e := fromNorms(g, 1.5+5.5*g.Float64())
		e.Age = 15 + 65*g.Float64()
		if g.IntN(6) == 0 {
			e = bare(e.Pupil)
		}
		s := with(e, anyBlur(g).Add(optics.Sphere(4*g.Float64())))
		transfer, err := f.renderer.TransferTo(s.Pupil, searchLight, lineLimit)
		require.NoError(t, err)
		green := inGreen(transfer, largeStroke)
		if green > plainlySeen {
			assert.Zero(t, f.drift(s), "%+v", s.Pupil)
		}
		if green > plainlySeen && green < plainlySeen+0.1 {
			near++
		}
	}
	assert.Greater(t, near, 20, "many are close to it")
}

func TestAccommodateMovesTowardWhatIsWanted(t *testing.T) {
	for _, c := range []struct {
		was    float64
		wanted Range
		ends   float64
	}{
		{0, Range{Low: 2, High: 2}, 2}, {2, Range{}, 0}, {1, Range{Low: 1, High: 1}, 1}, {0, Range{Low: 1, High: 2}, 1}, {3, Range{Low: 1, High: 2}, 2}, {1.5, Range{Low: 1, High: 2}, 1.5},
	} {
		assert.Equal(t, c.was, Accommodate(c.was, c.wanted, 0), "no time, no change")
		assert.InDelta(t, c.ends, Accommodate(c.was, c.wanted, 60), 1e-3, "a minute is enough")
		// Two waits are as one.
		assert.InDelta(t, Accommodate(c.was, c.wanted, 3), Accommodate(Accommodate(c.was, c.wanted, 1), c.wanted, 2), 1e-12)
	}
	adrift := Accommodate(0, Range{Low: 1, High: 1, Adrift: true}, 1)
	assert.Less(t, adrift, 0.3, "with nothing to look at it takes its time")
	assert.Positive(t, adrift)
	up, down := Accommodate(0, Range{Low: 1, High: 1}, 1), 1-Accommodate(1, Range{}, 1)
	assert.Greater(t, up, down, "it rises faster than it relaxes: common practice")
	assert.Positive(t, down)
	assert.Less(t, up, 1.0)
}
