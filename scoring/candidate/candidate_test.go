package candidate

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cases/begun"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// wrongCard is a patient who answers without noise, whose card is off in sphere,
// cylinder and axis.
func wrongCard(truth optics.Rx) *cases.Case {
	c := *cases.Library()[1]
	c.MannerName, c.Manner = "noiseless", patient.Manners()["noiseless"]
	e := c.Of(c.Tested)
	e.Error, e.Objective = truth, optics.Rx{Sphere: 1.25, Cyl: -1.00, Axis: 45}
	e.Unaided, e.BestSphere = "", ""
	return &c
}

var needs = optics.Rx{Sphere: 2.00, Cyl: -1.75, Axis: 30}

func TestTheBattery(t *testing.T) {
	count, names := map[Group]int{}, map[string]bool{}
	for _, k := range All() {
		count[k.Group]++
		assert.False(t, names[k.Name], "%s comes twice", k.Name)
		names[k.Name] = true
		assert.Equal(t, k.Group == Fault, k.Fault != "", k.Name)
		found, ok := Find(k.Name)
		assert.True(t, ok)
		assert.Equal(t, k.Group, found.Group)
	}
	assert.GreaterOrEqual(t, count[Good], 10)
	assert.GreaterOrEqual(t, count[Fault], 10)
	assert.GreaterOrEqual(t, count[Deaf], 10)
	assert.GreaterOrEqual(t, count[Contrary], 3)
	_, ok := Find("nobody")
	assert.False(t, ok)
}

// Nobody comes to an action that is refused, and the same seed gives the same
// sitting.
func TestEveryCandidateStatesAnEndPoint(t *testing.T) {
	cs := []*cases.Case{cases.Library()[0], cases.Library()[6], cases.Draw(3, 0)}
	if testing.Short() {
		cs = cs[:1]
	}
	for i, c := range cs {
		t.Run(c.ID, func(t *testing.T) {
			t.Parallel()
			s := sitting.Start(c.Setup(), sitting.Seeded(1))
			for _, k := range All() {
				done, err := RunWith(s, c, k, 4)
				require.NoError(t, err, k.Name)
				end, ok := done.EndPoint(c.Tested)
				require.True(t, ok, k.Name)
				assert.Equal(t, k.Name != "asks nothing", end.Acuity.Given(), k.Name)
				if i > 0 {
					continue
				}
				again, err := RunWith(s, c, k, 4)
				require.NoError(t, err, k.Name)
				assert.Equal(t, done.Events(), again.Events(), k.Name)
			}
		})
	}
}

// Who listens comes to what the eye needs though the card says something else; who
// does not, or states the opposite, does not come there.
func TestWhoListensFindsIt(t *testing.T) {
	t.Parallel()
	c := wrongCard(needs)
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	for _, k := range All() {
		if k.Group == Fault || k.Told {
			continue
		}
		done, err := RunWith(s, c, k, 1)
		require.NoError(t, err, k.Name)
		end, _ := done.EndPoint(c.Tested)
		left := end.Rx.Power().Sub(needs.Power())
		off := max(left.M, -left.M) + left.Astigmatism()
		if k.Group == Good {
			assert.LessOrEqual(t, off, 0.50, "%s: %v", k.Name, end.Rx)
		} else {
			assert.Greater(t, off, 0.25, "%s: %v", k.Name, end.Rx)
		}
	}
}

// handled are the actions of a sitting without the questions.
func handled(s *sitting.Sitting) (out []sitting.Action) {
	for _, e := range s.Events() {
		a := e.Action
		a.Acuity = patient.Acuity{}
		if a.Do != sitting.Ask {
			out = append(out, a)
		}
	}
	return out
}

// Two patients with the same card who need different lenses, and so answer
// differently, are handled alike by who works through a ritual, and by nobody who
// listens.
func TestRitualsDoNotListen(t *testing.T) {
	t.Parallel()
	one, other := wrongCard(needs), wrongCard(optics.Rx{Sphere: 0.25, Cyl: -0.50, Axis: 80})
	seats := [2]*sitting.Sitting{sitting.Start(one.Setup(), sitting.Seeded(1)), sitting.Start(other.Setup(), sitting.Seeded(1))}
	rituals := 0
	for _, k := range All() {
		if k.Group != Deaf && k.Group != Good {
			continue
		}
		in := k.InputOf(one)
		var all [2][]sitting.Action
		for i, s := range seats {
			s = s.Again(sitting.Seeded(2))
			require.NoError(t, k.Examine(s, in, 2), k.Name)
			all[i] = handled(s)
		}
		if k.Ritual {
			rituals++
			assert.Equal(t, all[0], all[1], k.Name)
		} else {
			assert.NotEqual(t, all[0], all[1], k.Name)
		}
	}
	assert.GreaterOrEqual(t, rituals, 10)
}

// Who goes on where an expert left comes to the end that the answers have, from every
// stage, and does not begin anew; a ritual goes through the rest of its motions. Ten sittings
// take more than a second.
func TestGoingOnFromAStage(t *testing.T) {
	t.Parallel()
	c := wrongCard(needs)
	seat := sitting.Start(c.Setup(), sitting.Seeded(1))
	for _, name := range []string{"with every check", "full ritual, the card"} {
		k, _ := Find(name)
		before := 1000
		for _, at := range cases.Stages() {
			s, err := begun.Sit(seat.Again(sitting.Seeded(2)), &cases.Assignment{Begin: at})
			require.NoError(t, err)
			require.NoError(t, s.Begin())
			given := len(s.Events())
			in := k.InputOf(c)
			in.From, in.Before, in.Limits = s.Stage, s.Events(), s.Limits()
			require.NoError(t, k.Examine(s, in, 2), at)
			own := s.Events()[given:]
			assert.Less(t, len(own), before, at)
			before = len(own)
			assert.False(t, slices.ContainsFunc(own, func(e sitting.Event) bool { return e.Action.Do == sitting.Explain }), at)
			end, ok := s.EndPoint(c.Tested)
			require.True(t, ok)
			if k.Group == Good {
				assert.LessOrEqual(t, 2*end.Rx.Power().Sub(needs.Power()).Astigmatism(), 0.51, at)
				assert.InDelta(t, needs.Power().M, end.Rx.Power().M, 0.51, at)
			}
		}
	}
}

// The end point is told to whom it is told, and to nobody else.
func TestWhoIsTold(t *testing.T) {
	c := cases.Library()[0]
	for _, k := range All() {
		in := k.InputOf(c)
		assert.Equal(t, k.Told, in.Truth != nil, k.Name)
		assert.Equal(t, c.BestSphere(c.Tested), in.Sphere)
	}
}
