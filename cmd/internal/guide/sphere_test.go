package guide

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Red and green tell nothing when the acuity is below 6/9 (common practice).
func TestDuochromeNeedsAGoodAcuity(t *testing.T) {
	read := func(logMAR float64) *work {
		return &work{looks: []look{{question: patient.ReadLetters, answer: patient.Answer{Kind: patient.Read, LogMAR: logMAR}}}}
	}
	a, wanted := unfogging{read(0.1)}.colours()
	assert.True(t, wanted)
	assert.Equal(t, []sitting.Action{{Do: sitting.Show, Chart: chart.Duochrome}, {Do: sitting.Ask, Question: patient.WhichColour}}, a.Do)
	_, wanted = unfogging{read(0.3)}.colours()
	assert.False(t, wanted)
	end := read(0.3).end().Text
	assert.Contains(t, voice.English.Say(end), "The frame holds plano. State it, with the acuity. (The duochrome is not to be used: it tells nothing when the acuity is below 6/9.)")
	assert.Contains(t, voice.In("de").Say(end), "In der Messbrille steht plan.")
	assert.Contains(t, voice.In("de").Say(end), "Unter Visus 0,63 sagt er nichts aus.")
}

// Where red or green is the clearer at the end, it is said why that is not followed; through
// other lenses, or where they are alike, there is nothing to say.
func TestAnUnevenDuochromeIsTalkedOf(t *testing.T) {
	end := func(colour patient.Kind, f optics.Frame) string {
		w := &work{looks: []look{
			{question: patient.ReadLetters, answer: patient.Answer{Kind: patient.Read}},
			{question: patient.WhichColour, answer: patient.Answer{Kind: colour}, frame: f},
		}}
		return w.end().Text.ID
	}
	var other optics.Frame
	other.Lenses[optics.Back] = optics.SphereOf(0.25)
	assert.Equal(t, "advice.end.uneven", end(patient.RedClearer, optics.Frame{}))
	assert.Equal(t, "advice.end.uneven", end(patient.GreenClearer, optics.Frame{}))
	assert.Equal(t, "advice.end.frame", end(patient.Alike, optics.Frame{}))
	assert.Equal(t, "advice.end.frame", end(patient.RedClearer, other))
}
