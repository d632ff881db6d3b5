package cases

import (
	"math"

	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Card is what the record card says of one eye before the student begins.
// Acuities are in logMAR.
type Card struct {
	Objective  optics.Rx
	Unaided    float64
	Sphere     float64 // the best sphere as it was found, dioptres in the back cell; see BestSphere
	BestSphere float64 // the acuity with it

	Instrument Instrument // how the objective result was come by; empty: not said
	Spread     float64    // its standard deviation, dioptres of spherical equivalent; 0: not said
	Worn       *Worn      // the old spectacles; nil: none
}

// Card is the record card of an eye: what the simulation sees, unless the case
// says otherwise. It takes a moment.
func (c *Case) Card(side sitting.Side) Card {
	return c.CardOf(sitting.Start(c.Setup(), sitting.Seeded(cardSeed)), side)
}

// CardOf is Card with the help of a sitting of this case, which stays as it is:
// what was worked out about its eyes is not worked out again.
func (c *Case) CardOf(s *sitting.Sitting, side sitting.Side) Card {
	card := c.seen(s, side)
	card.Unaided = written(c.Of(side).Unaided, card.Unaided)
	card.BestSphere = written(c.Of(side).BestSphere, card.BestSphere)
	return card
}

// written is an acuity from the case, or what was seen where it says nothing.
func written(s string, seen float64) float64 {
	if v, err := patient.ParseAcuity(s); s != "" && err == nil {
		return v.LogMAR
	}
	return seen
}

// cardSeed seeds a sitting that only the card comes from: acuities on a card
// have no noise, so that any seed gives the same.
const cardSeed = 1

// seen is the card as the simulation finds it.
func (c *Case) seen(s *sitting.Sitting, side sitting.Side) Card {
	e := c.Of(side)
	best := c.BestSphere(side)
	return Card{
		Objective:  e.Objective,
		Unaided:    s.AcuityWith(side, optics.Rx{}),
		Sphere:     best,
		BestSphere: s.AcuityWith(side, optics.Rx{Sphere: best}),
		Instrument: e.ObjectiveBy,
		Spread:     e.spread(),
		Worn:       c.worn(s, side),
	}
}

// cardDiffers is how far, in logMAR, a written acuity may be from what the
// simulation sees before Check speaks of it: a line and a half. The project's
// choice.
const cardDiffers = 0.15

// checkCard compares the acuities that the case gives with what the simulation
// sees.
func checkCard(c *Case) (out []fact.Fact) {
	for _, side := range []sitting.Side{sitting.Right, sitting.Left} {
		if e := c.Of(side); e.Unaided != "" || e.BestSphere != "" {
			out = append(out, compareCard(e, side, c.seen(sitting.Start(c.Setup(), sitting.Seeded(cardSeed)), side))...)
		}
	}
	return out
}

func compareCard(e *Eye, side sitting.Side, card Card) (out []fact.Fact) {
	differs := func(given string, seen float64) bool { return math.Abs(written(given, seen)-seen) > cardDiffers }
	if differs(e.Unaided, card.Unaided) {
		out = append(out, fact.New("case.mind.unaided", "given", e.Unaided, "eye", side, "seen", fact.Row(card.Unaided)))
	}
	if differs(e.BestSphere, card.BestSphere) {
		out = append(out, fact.New("case.mind.best-sphere", "given", e.BestSphere, "eye", side, "seen", fact.Row(card.BestSphere)))
	}
	return out
}
