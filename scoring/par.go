package scoring

import (
	"math"
	"slices"

	"conoid/cases"
	"conoid/cases/study"
	"conoid/sim/expert"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Par is what an examiner who works by the book needs on a case, and how far
// its end points lie from the truth: what can be expected of anybody on this
// patient.
type Par struct {
	Seeds   int          `json:"seeds"`   // sittings that it was taken from
	Steps   float64      `json:"steps"`   // median
	Seconds fact.Seconds `json:"seconds"` // median of the patient's time
	Typical fact.Amount  `json:"typical"` // defocus equivalent of the end points: median
	Worst   fact.Amount  `json:"worst"`   // and largest
}

// WholeSteps is par in whole steps, as people are told it.
func (p Par) WholeSteps() fact.Count { return fact.Count(math.Floor(p.Steps + 0.5)) }

// ParSeeds is a number of seeds that is enough for a par, and quick.
const ParSeeds = 5

// ParOf lets the expert examine the patient of a case with so many seeds, from
// 1 on, at least one. It gives the same each time.
func ParOf(c *cases.Case, seeds int) (Par, error) {
	return ParWith(c, sitting.Start(c.Setup(), sitting.Seeded(1)), seeds)
}

// ParWith is ParOf with the help of a sitting of the case, which stays as it
// is: what was worked out about its eyes is not worked out again.
func ParWith(c *cases.Case, s *sitting.Sitting, seeds int) (Par, error) {
	if seeds < 1 {
		return Par{}, fact.Refuse("par.no-seed", "seeds", fact.Count(seeds))
	}
	truth := c.Of(c.Tested).Error
	var steps, seconds, off []float64
	for seed := range uint64(seeds) {
		s = s.Again(sitting.Seeded(seed + 1))
		found, err := expert.Examine(s, expert.BriefOf(s.Setup()))
		if err != nil {
			return Par{}, err
		}
		steps = append(steps, float64(s.StepsOf(c.Tested).Total()))
		seconds = append(seconds, s.State().Seconds)
		off = append(off, DefocusEquivalent(left(truth, found.Rx)))
	}
	return Par{seeds, study.Median(steps), fact.Seconds(tidy(study.Median(seconds))), fact.Amount(tidy(study.Median(off))), fact.Amount(tidy(slices.Max(off)))}, nil
}

func left(truth, stated optics.Rx) optics.Power { return stated.Power().Sub(truth.Power()) }
