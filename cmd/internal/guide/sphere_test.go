package guide

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/render/voice"
	"conoid/sim/chart"
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
