package class

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/scoring"
	"conoid/scoring/candidate"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// away is a sitting whose answers point so far from the card in M, and of which so
// much is stated.
func away(heard, stated fact.Power) *scoring.FromCard {
	return &scoring.FromCard{Heard: scoring.Residual{M: heard}, Stated: scoring.Residual{M: stated}}
}

// The spread is that of whole power vectors, to the hundredth.
func TestWhereTheCardIsRightNoSlopeIsTold(t *testing.T) {
	for spread, told := range map[fact.Power]bool{0: false, 0.244: false, 0.246: true, 0.25: true, 1: true} {
		o := slopeOf([]*scoring.FromCard{away(spread, spread), away(-spread, -spread), away(spread, spread)})
		assert.Equal(t, told, o.Slope.OK, "%v", spread)
		if !told && spread > 0 {
			assert.Equal(t, "practical.card-right", o.Slope.Why.ID)
			assert.InDelta(t, float64(spread), o.Spread.V, 1e-9, "it is told all the same")
		}
	}
	two := &scoring.FromCard{Heard: scoring.Residual{J0: 0.2, J45: 0.2}}
	o := slopeOf([]*scoring.FromCard{two, two, two})
	assert.InDelta(t, 0.2828, o.Spread.V, 0.0001, "all components together")
	assert.True(t, o.Slope.OK)
}

// Three sittings in which every claim was heard are the least.
func TestTooFewSittingsForASlope(t *testing.T) {
	a := away(0.5, 0.5)
	assert.True(t, slopeOf([]*scoring.FromCard{a, nil, a, a}).Slope.OK)
	o := slopeOf([]*scoring.FromCard{a, nil, a, nil})
	assert.Equal(t, "cohort.few-groups", o.Slope.Why.ID)
	assert.Equal(t, 2, o.Groups)
}

// Cases that do not count, or have no end point, are left out.
func TestCasesOfASlope(t *testing.T) {
	k := func(stated fact.Power) practical.CaseMark {
		return practical.CaseMark{EndPoint: "plano", FromCard: away(0.5, stated)}
	}
	withdrawn := k(9)
	withdrawn.Withdrawn = true
	l := listening(&practical.Sheet{Candidate: "K1", Cases: []practical.CaseMark{k(0.5), withdrawn, k(0.5), {}, k(0.5), {EndPoint: "plano"}}})
	assert.Equal(t, "K1", l.Candidate)
	assert.Equal(t, 4, l.Stated)
	assert.Equal(t, 3, l.Groups)
	assert.InDelta(t, 1, l.Slope.V, 1e-12)
}

// On the first six cases of the library, with luck that is fixed, who listens has a
// slope of about 1, and who states the card whatever is answered one of 0.
func TestSlopesOfSimulatedCandidates(t *testing.T) {
	long(t)
	cs := cases.Library()[:6]
	var seats []*sitting.Sitting
	for _, c := range cs {
		seats = append(seats, sitting.Start(c.Setup(), sitting.Seeded(1)))
	}
	for _, name := range []string{"by the book", "with every check", "fog from above", "full ritual, the card", "brackets around the card", "asks nothing"} {
		k, ok := candidate.Find(name)
		require.True(t, ok, name)
		var heard []*scoring.FromCard
		for i, c := range cs {
			s, err := candidate.RunWith(seats[i], c, k, uint64(10+i))
			require.NoError(t, err)
			r, err := scoring.Review(c, s, scoring.Par{Seeds: 1, Steps: 50, Seconds: 300})
			require.NoError(t, err)
			heard = append(heard, r.FromCard)
		}
		o := slopeOf(heard)
		t.Logf("%-25s slope %.2f (%.2f to %.2f), %d sittings, spread %.2f D %s", name, o.Slope.V, o.Lower.V, o.Upper.V, o.Groups, o.Spread.V, o.Slope.Why.ID)
		switch {
		case name == "asks nothing":
			assert.Equal(t, "cohort.few-groups", o.Slope.Why.ID)
		case k.Group == candidate.Good:
			assert.InDelta(t, 1, o.Slope.V, 0.2, name)
			assert.Greater(t, o.Lower.V, 0.5, name)
			assert.Less(t, o.Upper.V, 1.5, name)
		default:
			require.True(t, o.Slope.OK, name)
			assert.InDelta(t, 0, o.Upper.V, 1e-9, name)
			assert.InDelta(t, 0, o.Lower.V, 1e-9, name)
		}
	}
}
