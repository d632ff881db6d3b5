package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// A question that was met with the wish to be shown it again is yet to be
// answered: it settles nothing, is no luck, and is rightly put once more.
func TestShownAgain(t *testing.T) {
	tr := &trace{moments: []moment{{}}}
	for i, k := range []patient.Kind{patient.Again, patient.Worse, patient.Worse, patient.Worse} {
		tr.moments = append(tr.moments, moment{sees: true, Standing: sitting.Standing{
			Event:     sitting.Event{N: i + 1, Action: sitting.Action{Do: sitting.Ask, Question: patient.WithLens}, Answer: &patient.Answer{Kind: k}},
			Noiseless: &patient.Answer{Kind: patient.Worse},
		}})
	}
	assert.Equal(t, []int{2, 3, 4}, tr.asked(patient.WithLens))
	assert.Equal(t, []int{1, 2, 3, 4}, tr.questions())
	assert.Empty(t, recording{tr}.repeats())
	assert.Empty(t, luckOf(tr))
	tr.moments[1].Answer.Kind = patient.Better
	assert.Equal(t, []int{4}, recording{tr}.repeats())
	assert.Len(t, luckOf(tr), 1)
}
