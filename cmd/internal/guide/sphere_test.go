package guide

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/patient"
)

// Red and green tell nothing when the acuity is below 6/9 (common practice).
func TestDuochromeNeedsAGoodAcuity(t *testing.T) {
	read := func(logMAR float64) string {
		w := &work{looks: []look{{question: patient.ReadLetters, answer: patient.Answer{Kind: patient.Read, LogMAR: logMAR}}}}
		return w.end().Text
	}
	assert.Contains(t, read(0.1), "show duochrome")
	assert.Contains(t, read(0.3), "not to be used")
}
