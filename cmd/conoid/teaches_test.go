package main

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Which lines were named is told against those along the back line of the error in fog,
// on either side of each bound: common practice for which lines those are. An error of
// axis 180 is fogged to a back line that stands upright.
func TestNamed(t *testing.T) {
	truth := optics.Rx{Sphere: -1, Cyl: -1, Axis: 180}
	lines := func(at ...float64) *patient.Answer { return &patient.Answer{Kind: patient.Lines, Lines: at} }
	for want, answers := range map[string][]*patient.Answer{
		"right":  {lines(90), lines(80, 90, 100), lines(75), lines(105)},
		"other":  {lines(70), lines(110), lines(30)},
		"across": {lines(0), lines(20), lines(160)},
		"none":   {{Kind: patient.Alike}, nil},
	} {
		for _, a := range answers {
			assert.Equal(t, want, named(a, truth), "%v", a)
		}
	}
	assert.Equal(t, "even", named(nil, optics.Rx{Cyl: -0.25, Axis: 180}))
	assert.Equal(t, "none", named(nil, optics.Rx{Cyl: -0.50, Axis: 180}))
}

func TestLying(t *testing.T) {
	for want, at := range map[string][2]float64{"before": {1, -0.029}, "astride": {0.031, -0.031}, "behind": {0.029, -0.031}, "on": {0.029, -0.029}} {
		assert.Equal(t, want, lying(at[0], at[1]), want)
	}
}

func TestAsked(t *testing.T) {
	for k, want := range map[patient.Kind]string{patient.Parallel: "more", patient.Perpendicular: "less", patient.Alike: "alike", patient.Blurred: "unasked"} {
		assert.Equal(t, want, asked(&patient.Answer{Kind: k}))
	}
	assert.Equal(t, "unasked", asked(nil))
}
