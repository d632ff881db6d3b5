package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// told is a trace of answers about the arrow, through a frame.
func told(f optics.Frame, answers map[int]patient.Kind) (*trace, []int) {
	t := &trace{moments: []moment{{}}}
	var events []int
	for label := 1; label <= 180; label++ {
		if k, ok := answers[label]; ok {
			t.moments = append(t.moments, moment{sees: true, frame: f, Standing: sitting.Standing{
				Event: sitting.Event{Answer: &patient.Answer{Kind: k}},
				State: sitting.State{Pointer: label},
			}})
			events = append(events, len(t.moments)-1)
		}
	}
	return t, events
}

// The limb to the left is clearer while the axis has a greater label: turning
// toward the more blurred one, to the right, is turning to greater labels.
func TestBalanced(t *testing.T) {
	const l, r, a, u = patient.Left, patient.Right, patient.Alike, patient.Unsure
	for _, c := range []struct {
		name    string
		axis    float64
		answers map[int]patient.Kind
		want    bool
	}{
		{"nothing", 40, nil, false},
		{"alike at the axis", 40, map[int]patient.Kind{40: a}, true},
		{"not sure beside it", 40, map[int]patient.Kind{50: u}, true},
		{"alike far from it", 40, map[int]patient.Kind{20: a}, false},
		{"sides change around it", 40, map[int]patient.Kind{35: l, 45: r}, true},
		{"sides change, across 180", 180, map[int]patient.Kind{175: l, 5: r}, true},
		{"sides change, but too far apart", 40, map[int]patient.Kind{30: l, 50: r}, false},
		{"sides change elsewhere", 40, map[int]patient.Kind{55: l, 65: r}, false},
		{"sides mirrored", 40, map[int]patient.Kind{35: r, 45: l}, false},
		{"one side only", 40, map[int]patient.Kind{30: l, 35: l}, false},
		{"at the other focal line", 40, map[int]patient.Kind{130: a}, false},
	} {
		tr, events := told(optics.Frame{}, c.answers)
		assert.Equal(t, c.want, axisWork{tr}.balanced(events, c.axis), c.name)
	}
	through := optics.Frame{}
	through.Lenses[optics.Front1] = optics.CylinderOf(-1, 40)
	tr, events := told(through, map[int]patient.Kind{40: a})
	assert.False(t, axisWork{tr}.balanced(events, 40), "through a cylinder the arrow says nothing of the axis")
}
