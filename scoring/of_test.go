package scoring

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// seat starts a sitting with an invented eye of −1.00 / −2.00 x 30, left
// without accommodation so that the acuities are those of a still eye.
func seat() *sitting.Sitting {
	e := sitting.EyeSetup{
		Error:     optics.Rx{Sphere: -1, Cyl: -2, Axis: 30},
		Objective: optics.Rx{Sphere: -0.75, Cyl: -1.5, Axis: 35},
		Eye:       eye.Eye{Pupil: 3.5},
	}
	return sitting.Start(sitting.Setup{
		Eyes:   [2]sitting.EyeSetup{e, e},
		Tested: sitting.Right,
		Age:    60,
		Room:   sitting.Room{Distance: 6, Vertex: optics.UsualVertex},
	}, sitting.Seeded(1))
}

func do(t *testing.T, s *sitting.Sitting, actions ...sitting.Action) {
	for _, a := range actions {
		_, err := s.Do(a)
		require.NoError(t, err, "%+v", a)
	}
}

func TestASittingWithoutEndPointIsNotMarked(t *testing.T) {
	m, err := Of(seat())
	assert.ErrorIs(t, err, NoEndPoint{})
	assert.Nil(t, m)
}

func TestMarkOfASitting(t *testing.T) {
	s := seat()
	do(t, s,
		sitting.Action{Do: sitting.Cover, Eye: sitting.Left},
		sitting.Action{Do: sitting.Exchange, Cell: sitting.In(optics.Front1), Lens: optics.CylinderOf(-2, 35)},
		sitting.Action{Do: sitting.Show, Chart: chart.Blocks},
		sitting.Action{Do: sitting.Ask, Question: "blocks"},
		sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1.5, Cyl: -2, Axis: 30}, Acuity: patient.Acuity{Written: "6/6-2", LogMAR: 0.04}},
	)
	m, err := Of(s)
	require.NoError(t, err)
	assert.Equal(t, "-1.00 / -2.00 x 30", m.Truth.ASCII())
	assert.Equal(t, "-1.50 / -2.00 x 30", m.EndPoint.ASCII())
	assert.Equal(t, fact.Power(-0.5), m.SphereError)
	assert.True(t, m.OverMinus)
	assert.Equal(t, Steps{Lens: 1, Chart: 1, Question: 1, Total: 3}, m.Steps)
	assert.Equal(t, fact.Seconds(s.State().Seconds), m.Seconds)
	require.NotNil(t, m.StatedAcuity)
	assert.InDelta(t, 0.04, float64(*m.StatedAcuity), 1e-9) // two letters of 0.02 logMAR short of 6/6
	assert.Greater(t, m.Acuity, m.BestAcuity+0.05, "half a dioptre of blur costs acuity")

	text, err := json.Marshal(m)
	require.NoError(t, err)
	var back Mark
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, *m, back)
}

func TestTheTruthGivesTheBestAcuity(t *testing.T) {
	s := seat()
	do(t, s, sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}})
	m, err := Of(s)
	require.NoError(t, err)
	assert.Zero(t, m.DefocusEquivalent)
	assert.Nil(t, m.StatedAcuity)
	// The truth is the most plus at which the eye is within 0.02 logMAR of its
	// best.
	assert.InDelta(t, float64(m.BestAcuity), float64(m.Acuity), 0.03)
}

// The mark tells why an eye has no usual acuity at best, where that is so.
func TestTheMarkTellsWhatLimitsTheEye(t *testing.T) {
	limits := func(change func(*sitting.EyeSetup)) []fact.Fact {
		setup := seat().Setup()
		change(&setup.Eyes[0])
		s := sitting.Start(setup, sitting.Seeded(1))
		do(t, s, sitting.Action{Do: sitting.End, Rx: &optics.Rx{Sphere: -1, Cyl: -2, Axis: 30}, Acuity: patient.FractionOf(0.3)})
		m, err := Of(s)
		require.NoError(t, err)
		return m.Limits
	}
	assert.Empty(t, limits(func(*sitting.EyeSetup) {}))
	both := limits(func(e *sitting.EyeSetup) {
		e.Eye = e.Eye.Hazy(0.25)
		e.Neural, _ = patient.ParseAcuity("6/12")
	})
	require.Len(t, both, 2)
	assert.Equal(t, "limit.neural", both[0].ID)
	assert.InDelta(t, 0.3, float64(both[0].Values["best"].(fact.Row)), 0.03)
	assert.Equal(t, fact.New("limit.haze", "percent", fact.Count(25)), both[1])
}
