package patient

import (
	"math"
	"slices"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/optics"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

var wide = Demand{Front: 1, Back: 3, Most: 8}

// Where accommodation has somewhere to go it is elsewhere at each glance, by the
// moment and how often it was asked alone; where it has not, one glance is all.
func TestAccommodationWanders(t *testing.T) {
	f := UsualFocusing()
	foci, then := f.Wander(moment(0), wide, f.Rest(wide))
	assert.Len(t, foci, glances)
	again, _ := f.Wander(moment(0), wide, f.Rest(wide))
	assert.Equal(t, foci, again)
	other := moment(0)
	other.Asked = 1
	again, _ = f.Wander(other, wide, f.Rest(wide))
	assert.NotEqual(t, foci, again)
	assert.GreaterOrEqual(t, then.Regard, 0.0)
	assert.LessOrEqual(t, then.Regard, 1.0)

	var all, regards []float64
	for i := range 1000 {
		foci, then := f.Wander(moment(i), wide, f.Rest(wide))
		all, regards = append(all, foci...), append(regards, then.Regard)
	}
	assert.InDelta(t, f.Regard, stat.Mean(regards, nil), 0.04)
	assert.InDelta(t, wide.At(f.Regard), stat.Mean(all, nil), 0.1)
	assert.Less(t, slices.Min(all), 1.2, "up to one line and the other, but for the odd fluctuation")
	assert.Greater(t, slices.Max(all), 2.8)
	for _, a := range all {
		require.InDelta(t, math.Round(a*10), a*10, 1e-9, "shared by a tenth")
		require.GreaterOrEqual(t, a, 0.0)
		require.LessOrEqual(t, a, wide.Most)
	}

	for name, d := range map[string]Demand{"fogged": {Most: 8, Fog: 0.5}, "no amplitude": {Fog: -2}, "nothing to see": {Most: 8, Fog: 5, Adrift: true, Rest: 0.7}} {
		was := Effort{Focus: min(0.2, d.Most), Regard: 0.7}
		foci, then := f.Wander(moment(0), d, was)
		assert.Equal(t, []float64{min(0.2, d.Most)}, foci, name)
		assert.Equal(t, was, then, name)
	}
	foci, _ = f.Wander(moment(0), Demand{Most: 8, Fog: 0.5}, Effort{Focus: 0.5, Tonus: Tonus{Latent: 0.5}})
	assert.Len(t, foci, glances, "what does not let go trembles")
}

// One point to look at leaves fluctuations alone, which grow with accommodation and
// are the smaller the steadier the eye.
func TestFluctuations(t *testing.T) {
	spread := func(steadiness, at float64) float64 {
		f, d := UsualFocusing(), Demand{Front: at, Back: at, Most: 8}
		f.Steadiness = steadiness
		var all []float64
		for i := range 1500 {
			foci, _ := f.Wander(moment(i), d, f.Rest(d))
			all = append(all, foci...)
		}
		assert.InDelta(t, at, stat.Mean(all, nil), 0.02)
		return stat.StdDev(all, nil)
	}
	assert.InDelta(t, 0.10, spread(1, 1), 0.01)
	assert.InDelta(t, 0.20, spread(1, 3), 0.01, "Ntodie and others 2021: 0.20 to 0.24 D near, in children with normal eyes")
	assert.InDelta(t, 0.10, spread(2, 3), 0.01)
	assert.InDelta(t, 0.40, spread(0.5, 3), 0.02)
	assert.Less(t, spread(0, 3), 1e-9)
}

func TestRegardHasItsMean(t *testing.T) {
	for _, want := range []float64{0, 0.2, 0.5, 0.8, 1} {
		f := Focusing{Regard: want}
		var sum float64
		for i := range 1000 {
			r := f.regard((float64(i) + 0.5) / 1000)
			assert.True(t, r >= 0 && r <= 1)
			sum += r / 1000
		}
		assert.InDelta(t, want, sum, 0.01)
	}
}

// Lines of which now these, now those are clear are noticed to change, in a share of
// the times they are asked about; those that only get clearer do not change.
func TestChangingLines(t *testing.T) {
	r := standard()
	one, other := fogged(30).Look(r), with(bare(4), between(0.5, 1.5, 120)).Look(r)
	all, duller := with(bare(4), optics.Sphere(0.25)).Look(r), with(bare(4), between(0.75, 1.5, 30)).Look(r)
	share := func(m Manner, g Gaze) float64 {
		n := 0.0
		for i := range 400 {
			if m.Lines(moment(i), g, fanLines()).Kind == Changing {
				n++
			}
		}
		return n / 400
	}
	assert.InDelta(t, noticing, share(noiseless, Gaze{{one}, {one}, {other}, {one}}), 0.1)
	assert.Zero(t, share(noiseless, Gaze{{one}, {duller}, {one}, {one}}))
	assert.Zero(t, share(noiseless, Once(one)))
	assert.Zero(t, share(Manner{Difference: 0.21}, Gaze{{one}, {all}}), "a glance at which all are alike")
	near := with(bare(4), between(0.5, 1.5, 60)).Look(r)
	assert.Zero(t, share(noiseless, Gaze{{one}, {near}}), "30 degrees are not far")
	both, changed := Gaze{{one}, {other}}, 0
	for i := range 100 {
		at := moment(i)
		first := noiseless.Lines(at, both, fanLines()).Kind
		at.Asked = 1
		if noiseless.Lines(at, both, fanLines()).Kind != first {
			changed++
		}
	}
	assert.InDelta(t, 48, changed, 15, "noticed or not each time anew")
	assert.Positive(t, share(noiseless, Gaze{{near}, {one}, {with(bare(4), between(0.5, 1.5, 90)).Look(r)}}), "any two of them")
}

// What is compared at several glances goes by the mean of them.
func TestTheMeanOfGlances(t *testing.T) {
	r := standard()
	a, b := chart.BlockLines(30)
	one, other := fogged(30).Look(r), with(bare(4), between(0.5, 0.5, 120)).Look(r)
	f := noiseless.felt(Gaze{{one}, {other}}, []chart.Line{a, b}, Visible)
	require.Len(t, f, 2)
	got := mean(f)
	assert.InDelta(t, (f[0][0]+f[1][0])/2, got[0], 1e-12)
	assert.InDelta(t, (f[0][1]+f[1][1])/2, got[1], 1e-12)
	assert.Equal(t, Parallel, noiseless.Blocks(Moment{}, Gaze{{one}, {one}, {other}}, a, b).Kind)
	assert.Equal(t, Perpendicular, noiseless.Blocks(Moment{}, Gaze{{other}, {other}, {other}, {other}, {one}}, a, b).Kind)

	lost := with(bare(4), optics.Sphere(8)).Look(r)
	assert.Equal(t, Parallel, noiseless.Blocks(Moment{}, Gaze{{lost}, {one}}, a, b).Kind, "a glance that shows nothing tells nothing")
	assert.Equal(t, Blurred, noiseless.Blocks(Moment{}, Gaze{{lost}, {lost}}, a, b).Kind)
	red, green := chart.DuochromeLines()
	plus, minus := with(bare(4), optics.Sphere(0.5)).Look(r), with(bare(4), optics.Sphere(-0.5)).Look(r)
	assert.Equal(t, RedClearer, noiseless.Colours(Moment{}, Gaze{{plus}, {plus}, {minus}}, red, green).Kind)
	assert.Equal(t, GreenClearer, noiseless.Colours(Moment{}, Gaze{{plus}, {minus}, {minus}}, red, green).Kind)
}
