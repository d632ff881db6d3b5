package cases

import (
	"math"

	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// What two lines of a record card may differ by before they contradict each other: of
// acuities a row, 0.1 logMAR; of spherical equivalents so many dioptres, two standard
// deviations of what two results with the usual errors differ by (objectiveM and
// bestSphereSpread). The project's choice.
const (
	rowApart    = 0.10
	sphereApart = 1.00
)

// reading is a record card with what a card does not say: the acuities, in logMAR,
// with the objective result and at best.
type reading struct {
	Card
	Objective, Best float64
}

// checkContradictions looks at whether the lines of the record card of the tested eye
// contradict each other, or what the eye can do.
func checkContradictions(c *Case) []fact.Fact {
	s := sitting.Start(c.Setup(), sitting.Seeded(cardSeed))
	r := reading{c.CardOf(s, c.Tested), s.AcuityWith(c.Tested, c.Of(c.Tested).Objective), s.Truth(c.Tested).Best}
	return contradictions(r, c.Of(c.Tested))
}

// contradictions are those of the card of an eye. Whoever writes an acuity through a
// lens looks at the one without, and leaves a lens out that makes it worse.
func contradictions(r reading, e *Eye) (out []fact.Fact) {
	better := func(than, v float64) bool { return v < than-rowApart-1e-9 }
	add := func(is bool, id string, pairs ...any) {
		if is {
			out = append(out, fact.New("case.mind."+id, pairs...))
		}
	}
	unaided, sphere, best := fact.Row(r.Unaided), fact.Row(r.BestSphere), fact.Row(r.Best)
	add(better(r.BestSphere, r.Unaided), "card-unaided", "unaided", unaided, "sphere", sphere, "lens", fact.Power(r.Sphere))
	add(e.Unaided != "" && better(r.Best, r.Unaided), "card-beyond", "given", unaided, "best", best)
	add(e.BestSphere != "" && better(r.Best, r.BestSphere), "card-beyond", "given", sphere, "best", best)
	if w := r.Worn; w != nil {
		add(better(w.Acuity, r.Unaided), "card-spectacles", "spectacles", w.Lens, "reads", fact.Row(w.Acuity), "unaided", unaided)
	}
	add(better(r.Objective, r.Unaided), "card-objective", "objective", e.Objective, "reads", fact.Row(r.Objective), "unaided", unaided)
	apart := e.Objective.SE() - r.Sphere
	add(beyond(apart, sphereApart), "card-apart", "objective", e.Objective, "lens", fact.Power(r.Sphere), "apart", fact.Amount(math.Abs(apart)))
	return out
}
