package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/assets"
	"conoid/cases"
	"conoid/render/voice"
	"conoid/sim/sitting"
)

func TestFogIsToldPlainly(t *testing.T) {
	c := libraryCase(t, "ferry-clerk")
	for objective, want := range map[float64]string{
		-1.00: "enough: +0.50 D puts the back focal line 0.50 D in front of the retina",
		-1.25: "enough: +0.50 D puts the back focal line 0.25 D in front of the retina",
		-1.50: "too little: +0.50 D puts the back focal line 0.00 D in front of the retina",
		-1.75: "too little: +0.50 D puts the back focal line 0.25 D behind the retina",
		-0.50: "enough: +0.50 D puts the back focal line 1.00 D in front of the retina",
		-0.25: "more than needed: +0.50 D puts the back focal line 1.25 D in front of the retina",
	} {
		c.Of(c.Tested).Objective.Sphere = objective // the error's is −1.00
		assert.Equal(t, want, voice.English.Say(fogOf(c)))
	}
	assert.Equal(t, "mehr als nötig: Mit +0,50 dpt liegt die hintere Brennlinie 1,25 dpt vor der Netzhaut", func() string {
		c.Of(c.Tested).Objective.Sphere = -0.25
		return voice.In("de").Say(fogOf(c))
	}())
}

// The names of entries fit before what is said of them.
func TestEntriesAreInColumns(t *testing.T) {
	for _, language := range assets.Languages() {
		v := voice.In(language)
		c := libraryCase(t, "ferry-clerk")
		s := sitting.Start(c.Setup(), sitting.Seeded(1))
		for _, line := range strings.Split(account(v, "quay.toml", c, s, nil), "\n")[1:8] {
			assert.Regexp(t, `^  \S.{12} \S|^ {16}\S`, line, language)
		}
	}
}

// A set that was drawn is known as one by its title, in whatever language.
func TestTellsSeed(t *testing.T) {
	two := make([]cases.Listed, 2)
	for _, title := range []string{"2 cases, drawn with seed 5", "2 Fälle, mit der Nummer 12345 ausgelost"} {
		assert.True(t, tellsSeed(&cases.Assignment{Title: title, Cases: two}), title)
	}
	for _, title := range []string{"Friday", "2 cases"} {
		assert.False(t, tellsSeed(&cases.Assignment{Title: title, Cases: two}), title)
	}
}
