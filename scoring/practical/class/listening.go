package class

import (
	"math"

	"conoid/scoring"
	"conoid/scoring/cohort"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// Listening is how far the end points of a candidate moved away from the record card
// for each dioptre by which the answers pointed away from it, over the cases that
// count: a slope of about 1 states what was heard, one of 0 states the card. The
// line goes through the origin, because the card is its zero: where the answers bear
// the card out there is nothing to move. An intercept would be a leaning towards plus
// and towards an axis in one number; and only without it does the slope not depend on
// where axes are counted from.
//
// It is for assessors to look at, and no part of the marks.
type Listening struct {
	Candidate string `json:"candidate"`
	Stated    int    `json:"stated"` // cases with an end point
	cohort.Origin
}

// leastSpread is how far, in dioptres, the answers have to point away from the card over
// a set, as the root mean square of the length of a power vector, for a slope to be
// told: less is a step of the trial set, which can neither be heard nor stated with
// certainty. The project's choice.
const leastSpread = 0.25

// listening is that of one candidate.
func listening(s *practical.Sheet) Listening {
	l := Listening{Candidate: s.Candidate}
	var heard []*scoring.FromCard
	for _, k := range s.Cases {
		if k.Withdrawn || k.EndPoint == "" {
			continue
		}
		l.Stated++
		heard = append(heard, k.FromCard)
	}
	l.Origin = slopeOf(heard)
	return l
}

// slopeOf is the slope of what was stated on what was heard, over sittings; those in
// which the answers leave a claim open are nil.
func slopeOf(sittings []*scoring.FromCard) cohort.Origin {
	groups := make([][]cohort.Pair, len(sittings))
	for i, s := range sittings {
		if s == nil {
			continue
		}
		x, y := s.Heard.Power(), s.Stated.Power()
		groups[i] = []cohort.Pair{{X: x.M, Y: y.M}, {X: x.J0, Y: y.J0}, {X: x.J45, Y: y.J45}}
	}
	o := cohort.ThroughOrigin(groups)
	if o.Spread.OK && math.Round(o.Spread.V*100)/100 < leastSpread {
		return o.Without(fact.New("practical.card-right", "least", fact.Amount(leastSpread), "spread", fact.Amount(o.Spread.V)))
	}
	return o
}
