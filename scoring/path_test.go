package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/fact"
)

// People are told of steps: what is none of its own stands beside the one before, and
// what comes before the first beside the first.
func TestEventsAreToldAsSteps(t *testing.T) {
	r := &Report{Path: []Moment{{Event: 1}, {Event: 2, Step: 1}, {Event: 3, Step: 2}, {Event: 4, Step: 2}}}
	for event, step := range []int{1, 1, 1, 2, 2, 1} {
		assert.Equal(t, step, r.Step(event), "event %d", event)
	}
	assert.Equal(t, fact.Events{1, 2}, r.Steps(fact.Events{4, 3, 3, 1}))
	assert.Empty(t, r.Steps(nil))
}
