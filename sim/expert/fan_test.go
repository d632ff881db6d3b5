package expert

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// astray is a chair in which the first answer about the fan is a line across the
// right one: the mind was elsewhere.
type astray struct {
	*sitting.Sitting
	fans int
}

func (a *astray) Do(action sitting.Action) (sitting.Event, error) {
	e, err := a.Sitting.Do(action)
	if err == nil && action.Question == patient.WhichLines && len(e.Answer.Lines) > 0 {
		if a.fans++; a.fans == 1 {
			across := *e.Answer
			across.Lines = []float64{optics.Axis(e.Answer.Lines[0] + 90)}
			e.Answer = &across
		}
	}
	return e, err
}

// What contradicts the objective result is asked again, so that one answer at random
// does not cost the cylinder; what agrees with it is not.
func TestTheFanIsAskedAgainWhereItContradicts(t *testing.T) {
	truth := "+1.25/-3.50x5"
	setup := person(truth, "+1.25/-3.25x10", "noiseless", 0)
	wrong := &astray{Sitting: sitting.Start(setup, sitting.Seeded(1))}
	found, err := Examine(wrong, BriefOf(setup))
	require.NoError(t, err)
	assert.Equal(t, 2, wrong.fans)
	off := found.Rx.Power().Sub(rx(truth).Power())
	assert.LessOrEqual(t, off.Astigmatism(), 0.25, "%v", found.Rx)

	right := &astray{Sitting: sitting.Start(setup, sitting.Seeded(1)), fans: 1}
	_, err = Examine(right, BriefOf(setup))
	require.NoError(t, err)
	assert.Equal(t, 2, right.fans, "once")
}

// Where the objective result is too plus the lines of the fan drown in the fog. The way
// out is less plus, not more.
func TestADrownedFanIsEased(t *testing.T) {
	const truth = "+0.00/-1.00x40"
	setup := person(truth, "+1.00/-0.75x30", "everyday", 0)
	for seed := range uint64(6) {
		s := sitting.Start(setup, sitting.Seeded(seed))
		found, err := Examine(s, BriefOf(setup))
		require.NoError(t, err)
		left := found.Rx.Power().Sub(rx(truth).Power())
		assert.NotContains(t, found.Doubts, Doubt("fog"), "seed %d", seed)
		assert.InDelta(t, 0, left.M, 0.50, "seed %d: found as %v", seed, found.Rx)
	}
}
