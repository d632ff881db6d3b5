package population

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// What anybody is warned of, on either side: 0.18 D of sphere, 0.12 D of cylinder, the
// band of an axis where there is a cylinder that shows.
func TestBiases(t *testing.T) {
	truth := optics.Rx{Sphere: 1, Cyl: -1, Axis: 90}
	of := func(r Repeats, truth optics.Rx) (out []cases.Claim) {
		for _, b := range r.Biases(truth) {
			out = append(out, b.Claim)
		}
		return out
	}
	band := cases.AxisBand(-1)
	for _, sign := range []float64{-1, 1} {
		assert.Empty(t, of(Repeats{Sphere: Estimate{Mean: sign * 0.18}, Cylinder: Estimate{Mean: sign * 0.12}, Turn: sign * band}, truth))
		assert.Equal(t, []cases.Claim{cases.SphereClaim}, of(Repeats{Sphere: Estimate{Mean: sign * 0.181}}, truth))
		assert.Equal(t, []cases.Claim{cases.CylinderClaim}, of(Repeats{Cylinder: Estimate{Mean: sign * 0.121}}, truth))
		assert.Equal(t, []cases.Claim{cases.AxisClaim}, of(Repeats{Turn: sign * (band + 0.1)}, truth))
	}
	assert.Equal(t, []cases.Claim{cases.AxisClaim}, of(Repeats{Turn: 20}, optics.Rx{Cyl: -0.5, Axis: 90}))
	assert.Empty(t, of(Repeats{Turn: 20}, optics.Rx{Cyl: -0.25, Axis: 90}), "hardly shows")
	assert.True(t, (&Repeats{Sittings: 20, Reversed: 5}).ReversedOften())
	assert.False(t, (&Repeats{Sittings: 20, Reversed: 4}).ReversedOften())
}

// The reason for a bias leaves half of it at most, and the least of all; of two that
// leave as much as far as can be told, the first is it.
func TestExplained(t *testing.T) {
	leaves := func(cause Cause, m float64) Why { return Why{cause, &Repeats{Sphere: Estimate{Mean: m}}} }
	bias := (&Repeats{Sphere: Estimate{Mean: -0.40, Error: 0.03}}).Biases(optics.Rx{})[0]
	for name, c := range map[string]struct {
		tried []Why
		want  Cause
	}{
		"nothing tried":      {nil, ""},
		"half is left":       {[]Why{leaves(Card, -0.20)}, Card},
		"more is left":       {[]Why{leaves(Card, -0.21)}, ""},
		"overdone":           {[]Why{leaves(Card, 0.21)}, ""},
		"the least counts":   {[]Why{leaves(Latent, -0.15), leaves(Card, 0.08)}, Card},
		"the first, if even": {[]Why{leaves(Latent, -0.13), leaves(Card, -0.08)}, Latent},
	} {
		got := bias.Explained(c.tried)
		if c.want == "" {
			assert.Nil(t, got, name)
		} else if assert.NotNil(t, got, name) {
			assert.Equal(t, c.want, got.Cause, name)
		}
	}
}

// Each suspect is what the case has, and is gone from the case without it; the error
// stays.
func TestSuspects(t *testing.T) {
	c, err := cases.Find("band-drummer")
	require.NoError(t, err)
	names := func(c *cases.Case) (out []Cause) {
		for _, s := range suspects(c) {
			out = append(out, s.cause)
		}
		return out
	}
	assert.Equal(t, []Cause{Latent, Card, Aberrations, Answers, Accommodates}, names(c))
	for _, s := range suspects(c) {
		assert.NotContains(t, names(s.without), s.cause)
		assert.Equal(t, c.Of(c.Tested).Error, s.without.Of(c.Tested).Error)
	}
	c.Focusing.Spasm, c.Of(c.Tested).Haze = 1, 0.3
	c.Of(c.Tested).Error.Sphere = 6.30
	assert.Equal(t, []Cause{Steps, Spasm, Latent, Card, Limits}, names(c)[:5])
	for _, s := range suspects(c)[:5] {
		assert.NotContains(t, names(s.without), s.cause)
	}
	c.MannerName, c.Manner = "keen", patient.Manners()["keen"]
	assert.NotContains(t, names(c), Answers)
}

// Blocks that ask for more of a cylinder that is too strong by half a dioptre answer the
// wrong way round; those that ask for less, or for more of a weaker one, do not.
func TestReversed(t *testing.T) {
	truth := optics.Rx{Cyl: -1, Axis: 180}
	in := func(cyl float64) sitting.Event {
		return sitting.Event{Action: sitting.Action{Do: sitting.Put, Cell: sitting.In(optics.Front1), Lens: optics.CylinderOf(cyl, 180)}}
	}
	says := func(k patient.Kind) sitting.Event {
		return sitting.Event{Action: sitting.Action{Do: sitting.Ask, Question: patient.WhichBlock}, Answer: &patient.Answer{Kind: k}}
	}
	assert.True(t, reversed([]sitting.Event{in(-1.5), says(patient.Parallel)}, truth))
	assert.False(t, reversed([]sitting.Event{in(-1.25), says(patient.Parallel)}, truth))
	assert.False(t, reversed([]sitting.Event{in(-1.5), says(patient.Perpendicular)}, truth))
	assert.False(t, reversed([]sitting.Event{in(-1.5), in(-0.75), says(patient.Parallel)}, truth))
}

// Differences count along the true axis: a cylinder that is stronger there is below
// zero, and one at 45 degrees to it is none. The standard error of 1, 2, 3 and 6 is the
// root of 14/3 over 2.
func TestAlongAxis(t *testing.T) {
	along := func(rx ...optics.Rx) Estimate {
		var offs []optics.Power
		for _, r := range rx {
			offs = append(offs, r.Power())
		}
		return alongAxis(offs, 30)
	}
	got := along(optics.Rx{Cyl: -0.5, Axis: 30}, optics.Rx{Cyl: -0.25, Axis: 30})
	assert.InDelta(t, -0.375, got.Mean, 1e-9)
	assert.InDelta(t, 0.125, got.Error, 1e-9)
	assert.InDelta(t, 0.5, along(optics.Rx{Cyl: -0.5, Axis: 120}, optics.Rx{Cyl: -0.5, Axis: 120}).Mean, 1e-9)
	assert.InDelta(t, 0, along(optics.Rx{Cyl: -0.5, Axis: 75}, optics.Rx{Cyl: -0.5, Axis: 165}).Mean, 1e-9)
	got = EstimateOf([]float64{1, 2, 3, 6})
	assert.Equal(t, 3.0, got.Mean)
	assert.InDelta(t, 1.0801, got.Error, 1e-4)
}
