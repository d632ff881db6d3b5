package main

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/scoring/population"
	"conoid/sim/expert"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

func TestTraps(t *testing.T) {
	assert.Empty(t, traps(&population.Repeats{Sittings: 20, Off: optics.Power{M: 0.25, J0: 0.2}, LimitM: 0.5, Doubts: map[expert.Doubt]int{"x": 10}}))
	off := optics.Power{M: -0.5, J45: 0.375}
	const unseen = "Whoever works by the book ends there, and nothing in the answers shows it: a trap that no student can see."
	assert.Equal(t, []string{
		"The expert is off by −0.50 D of spherical equivalent on average. " + unseen,
		"The expert leaves 0.75 D of cylinder on average, always the same way. " + unseen,
	}, traps(&population.Repeats{Sittings: 20, Off: off}))
	const doubted = "Whoever works by the book ends there; only the doubts tell."
	assert.Equal(t, []string{
		"The expert is off by −0.50 D of spherical equivalent on average. " + doubted,
		"The expert leaves 0.75 D of cylinder on average, always the same way. " + doubted,
		"In 11 of 20 sittings the expert had a doubt: the arrow did not come to rest.",
	}, traps(&population.Repeats{Sittings: 20, Off: off, Doubts: map[expert.Doubt]int{"arrow-restless": 11}}))
}

func TestFogIsToldPlainly(t *testing.T) {
	c := libraryCase(t, "ferry-clerk")
	for objective, want := range map[float64]string{
		-1.00: "enough: +0.50 D puts the back focal line 0.50 D before the retina",
		-1.25: "enough: +0.50 D puts the back focal line 0.25 D before the retina",
		-1.50: "too little: +0.50 D puts the back focal line 0.00 D before the retina",
		-1.75: "too little: +0.50 D puts the back focal line 0.25 D behind the retina",
		-0.50: "enough: +0.50 D puts the back focal line 1.00 D before the retina",
		-0.25: "more than needed: +0.50 D puts the back focal line 1.25 D before the retina",
	} {
		c.Of(c.Tested).Objective.Sphere = objective // the error's is −1.00
		assert.Equal(t, want, fogOf(c))
	}
}

func TestProgressIsWiped(t *testing.T) {
	var b bytes.Buffer
	r, err := repeated(&b, "quay.toml", sitting.Start(libraryCase(t, "ferry-clerk").Setup(), sitting.Seeded(1)), 3)
	require.NoError(t, err)
	assert.Equal(t, 3, r.Sittings)
	assert.Contains(t, b.String(), "\rquay.toml: the expert, 2 of 3")
	assert.Regexp(t, `\r {29}\r$`, b.String())
}
