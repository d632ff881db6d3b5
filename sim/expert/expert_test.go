package expert

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/eye"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

func rx(s string) optics.Rx {
	r, err := optics.ParseRx(s)
	if err != nil {
		panic(err)
	}
	return r
}

// person has one error in both eyes, and a manner.
func person(fault, objective, manner string, amplitude float64) sitting.Setup {
	e := sitting.EyeSetup{
		Error: rx(fault), Objective: rx(objective), Amplitude: amplitude,
		Eye: eye.New(4, 30, eye.Typical(1)),
	}
	return sitting.Setup{
		Eyes: [2]sitting.EyeSetup{e, e}, Tested: sitting.Right, Age: 30, Manner: patient.Manners()[manner],
		Room: sitting.Room{Distance: 6, Vertex: 0.012},
	}
}

// The method works: on people who answer without noise the expert comes within
// a quarter of a dioptre, whatever the eye.
func TestTheExpertFindsTheTruth(t *testing.T) {
	for _, c := range []struct {
		fault, objective string
		amplitude        float64
	}{
		{"-1.00/-2.00x30", "-0.75/-1.75x35", 0},
		{"+2.25/-1.00x165", "+2.50/-1.25x160", 0},
		{"+0.50/-1.50x90", "+0.50/-1.25x85", 7},
		{"-4.00/-3.25x100", "-4.25/-2.75x100", 3},
		{"-2.00 DS", "-1.75/-0.25x20", 0},
	} {
		t.Run(c.fault, func(t *testing.T) {
			t.Parallel()
			setup := person(c.fault, c.objective, "noiseless", c.amplitude)
			s := sitting.Start(setup, sitting.Seeded(2))
			found, err := Examine(s, BriefOf(setup))
			require.NoError(t, err)
			d := found.Rx.Power().Sub(rx(c.fault).Power())
			t.Logf("%v found as %v in %d steps", c.fault, found.Rx, s.Steps().Total())
			assert.LessOrEqual(t, math.Abs(d.M), 0.25)
			assert.LessOrEqual(t, d.Astigmatism(), 0.25)
			end, stated := s.EndPoint(s.Setup().Tested)
			require.True(t, stated)
			assert.Equal(t, found.Rx, end.Rx)
		})
	}
}

func TestTheExpertExplainsItself(t *testing.T) {
	setup := person("-1.00/-1.50x60", "-1.00/-1.25x60", "everyday", 5)
	s := sitting.Start(setup, sitting.Seeded(3))
	found, err := Examine(s, BriefOf(setup))
	require.NoError(t, err)
	require.Len(t, found.Findings, len(s.Events()))
	reasons := 0
	for i, f := range found.Findings {
		assert.Equal(t, s.Events()[i], f.Event)
		if f.Why.ID != "" {
			reasons++
		}
	}
	assert.Greater(t, reasons, 8)

	again := s.Again(sitting.Seeded(3))
	same, err := Examine(again, BriefOf(setup))
	require.NoError(t, err)
	assert.Equal(t, found, same, "the same patient and seed, the same examination")
}

// To who wants to be shown something again it is put once more, and that is
// answered.
func TestTheExpertShowsItAgain(t *testing.T) {
	setup := person("-1.00/-1.50x60", "-1.00/-1.25x60", "noiseless", 5)
	setup.Manner.Difference, setup.Manner.AsksAgain = 0.1, 0.5
	put, s := 0, sitting.Start(setup, sitting.Seeded(1))
	for seed := range uint64(5) {
		s = s.Again(sitting.Seeded(seed))
		found, err := Examine(s, BriefOf(setup))
		require.NoError(t, err)
		events := s.Events()
		for i, e := range events {
			if e.Answer != nil && e.Answer.Kind == patient.Again {
				put++
				assert.Equal(t, e.Action, events[i+1].Action)
				assert.NotEqual(t, patient.Again, events[i+1].Answer.Kind)
				assert.Equal(t, "expert.again", found.Findings[i+1].Why.ID)
			}
		}
	}
	assert.Positive(t, put)
}

// broken is a chair whose patient has left.
type broken struct{}

func (broken) Do(sitting.Action) (sitting.Event, error) {
	return sitting.Event{}, errors.New("nobody is there")
}
func (broken) State() sitting.State { return sitting.State{} }

func TestARefusalStopsTheExpert(t *testing.T) {
	_, err := Examine(broken{}, Brief{Tested: sitting.Right})
	assert.ErrorContains(t, err, "nobody is there")
}

// The middle of a group of lines is taken in double angle: hours 12 to 6 and 1
// to 7 give 15.
func TestMiddle(t *testing.T) {
	assert.InDelta(t, 15, middle([]float64{90, 60}), 1e-9)
	assert.InDelta(t, 180, middle([]float64{100, 90, 80}), 1e-9)
}
