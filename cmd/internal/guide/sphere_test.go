package guide

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/patient"
)

// Red and green tell nothing when the acuity is below 6/9 (common practice).
func TestDuochromeNeedsAGoodAcuity(t *testing.T) {
	read := func(logMAR float64) *work {
		return &work{looks: []look{{question: patient.ReadLetters, answer: patient.Answer{Kind: patient.Read, LogMAR: logMAR}}}}
	}
	a, wanted := read(0.1).colours()
	assert.True(t, wanted)
	assert.Equal(t, []string{"show duochrome", "ask"}, a.Write)
	_, wanted = read(0.3).colours()
	assert.False(t, wanted)
	assert.Contains(t, read(0.3).end().Text, "not to be used")
}
