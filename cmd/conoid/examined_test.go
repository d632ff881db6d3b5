package main

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cases/study/population"
	"conoid/render/voice"
	"conoid/scoring/study"
	"conoid/sim/expert"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

var cylinder = optics.Rx{Sphere: -1, Cyl: -1, Axis: 180}

func found(r population.Repeats, tried ...population.Why) *examined {
	r.Sittings = 20
	return &examined{Expected: &study.Expected{Repeats: &r}, tried: tried}
}

func TestTraps(t *testing.T) {
	assert.Empty(t, found(population.Repeats{Off: optics.Power{M: 0.25, J0: 0.2}, LimitM: 0.5, Doubts: map[expert.Doubt]int{"x": 10}}).traps())
	assert.Empty(t, found(population.Repeats{Off: optics.Power{M: 0.375, J0: 0.25}}).traps())
	unseen, doubted := fact.New("check.trap.unseen"), fact.New("check.trap.doubted")
	for _, off := range []optics.Power{{M: -0.38}, {M: 0.38}, {J45: 0.26}, {J0: -0.26}} {
		assert.Equal(t, []fact.Fact{fact.New("check.trap", "blame", unseen)}, found(population.Repeats{Off: off}).traps())
	}
	assert.Equal(t, []fact.Fact{
		fact.New("check.trap", "blame", doubted),
		fact.New("check.trap.doubt", "n", fact.Count(11), "all", fact.Count(20), "doubt", expert.Doubt("arrow-restless")),
	}, found(population.Repeats{Off: optics.Power{M: 1}, Doubts: map[expert.Doubt]int{"arrow-restless": 11}}).traps())
}

// A bias is told with its standard error and its reason, or with all that is not it.
func TestBiasesAreToldWithTheirReason(t *testing.T) {
	off := population.Repeats{Sphere: population.Estimate{Mean: -0.3, Error: 0.03}, Turn: 20}
	better := population.Why{Cause: population.Latent, Without: &population.Repeats{Sphere: population.Estimate{Mean: -0.05}, Turn: 19}}
	said := func(v voice.Voice, x *examined) (out []string) {
		for _, w := range x.warnings(cylinder) {
			out = append(out, v.Say(w))
		}
		return out
	}
	assert.Equal(t, []string{
		"The expert is off by −0.30 ± 0.03 D of spherical equivalent on average. The reason is latent accommodation: without it the expert is off by −0.05 D.",
		"The expert’s mean axis is 20° off, and 7° is all that this cylinder allows. No single thing in the case is the reason: with any one of them mended (latent accommodation), half of it or more remains.",
	}, said(voice.English, found(off, better)))
	assert.Contains(t, said(voice.In("de"), found(off, better))[0], "Der Grund: latente Akkommodation. Ohne das liegt sie um −0,05 dpt daneben.")
	assert.Contains(t, said(voice.English, found(population.Repeats{Reversed: 5}))[0], "In 5 of 20 sittings the blocks asked for more")
	assert.Empty(t, said(voice.English, found(population.Repeats{Reversed: 4})))
}

func TestProgressIsWiped(t *testing.T) {
	var b bytes.Buffer
	p := progressLine{voice: voice.English, w: &b, path: "quay.toml"}
	p.show("check.progress", "done", fact.Count(2), "all", fact.Count(30))
	p.show("check.progress-without", "cause", population.Card)
	p.show("check.progress", "done", fact.Count(3), "all", fact.Count(30))
	p.wipe()
	assert.Contains(t, b.String(), "\rquay.toml: the expert, 2 of 30\rquay.toml: the expert without")
	assert.Regexp(t, `the expert, 3 of 30 +\r {30,}\r$`, b.String())
}
