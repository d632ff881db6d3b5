package population

import (
	"context"
	"math"

	"conoid/cases"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Cause is something in a case that leads whoever works by the book astray.
type Cause string

// The causes that are tried.
const (
	Steps        Cause = "steps"        // powers between those of the trial set
	Spasm        Cause = "spasm"        // a cramp of accommodation
	Latent       Cause = "latent"       // accommodation that is kept up at first
	Card         Cause = "card"         // an objective result that misleads
	Limits       Cause = "limits"       // an eye that no lens brings to a usual acuity
	Aberrations  Cause = "aberrations"  // of higher order
	Answers      Cause = "answers"      // that cannot be relied on
	Accommodates Cause = "accommodates" // a living amplitude of accommodation
)

// Name is the ID of the words for a cause.
func (c Cause) Name() string { return "bias." + string(c) }

// Why is a cause, and what the expert finds in the same case without it.
type Why struct {
	Cause   Cause
	Without *Repeats
}

// suspect is a cause, and the case without it.
type suspect struct {
	cause   Cause
	without *cases.Case
}

// suspects are the causes that a case has, each with the case without it; what is
// special to a person goes before what many have. The error stays what it is, but
// where the trial set does not have it.
func suspects(c *cases.Case) (out []suspect) {
	setup, e, none := c.Setup(), c.Of(c.Tested), 0.0
	add := func(is bool, cause Cause, mend func(*cases.Case)) {
		if is {
			without := *c
			mend(&without)
			out = append(out, suspect{cause, &without})
		}
	}
	eyes := func(mend func(*cases.Eye)) func(*cases.Case) {
		return func(c *cases.Case) { mend(&c.Eyes[0]); mend(&c.Eyes[1]) }
	}
	off := offSet(setup.Room.Set, e.Error)
	add(off != optics.Rx{}, Steps, func(c *cases.Case) {
		e := c.Of(c.Tested)
		e.Error.Sphere, e.Error.Cyl = e.Error.Sphere+off.Sphere, e.Error.Cyl+off.Cyl
		e.Objective.Sphere += off.Sphere
	})
	add(setup.Focusing.Spasm > 0, Spasm, func(c *cases.Case) { c.Focusing.Spasm = 0 })
	add(setup.Focusing.Latent > 0, Latent, func(c *cases.Case) { c.Latent = &none })
	right := e.Error.Round(quarters)
	add(e.Objective != right, Card, func(c *cases.Case) { c.Of(c.Tested).Objective = right })
	add(e.Neural != "" || e.Haze > 0, Limits, eyes(func(e *cases.Eye) { e.Neural, e.Haze = "", 0 }))
	add(e.Aberrations.From != cases.None, Aberrations, eyes(func(e *cases.Eye) { e.Aberrations = cases.Aberrations{From: cases.None} }))
	add(c.MannerName != reliable, Answers, func(c *cases.Case) { c.MannerName, c.Manner = reliable, patient.Manners()[reliable] })
	add(setup.Eyes[c.Tested.Index()].Amplitude > 0, Accommodates, func(c *cases.Case) {
		c.Latent, c.Focusing.Spasm = &none, 0
		c.Eyes[0].Amplitude, c.Eyes[1].Amplitude = &none, &none
	})
	return out
}

// offSet is how far the nearest powers of a trial set are from those of an error,
// dioptres.
func offSet(set optics.TrialSet, rx optics.Rx) optics.Rx {
	off := func(powers []float64, d float64) float64 {
		nearest := 0.0
		for _, p := range powers {
			if math.Abs(p-d) < math.Abs(nearest-d) {
				nearest = p
			}
		}
		return nearest - d
	}
	return optics.Rx{Sphere: off(set.Spheres(), rx.Sphere), Cyl: off(set.Cylinders(), rx.Cyl)}
}

// quarters is the step of the trial lenses, in dioptres, and reliable the manner whose
// answers waver least.
const (
	quarters = 0.25
	reliable = "keen"
)

// Tried is what the expert finds in a case without each of its suspects in turn, in so
// many sittings each, as an assignment has them; nil for the whole.
func Tried(ctx context.Context, c *cases.Case, as *cases.Assignment, sittings int, progress func(cause Cause)) (out []Why, err error) {
	for _, s := range suspects(c) {
		progress(s.cause)
		found, err := Repeat(ctx, sitting.Start(s.without.Setup(), sitting.Seeded(1)), as, sittings, func(int) {})
		if err != nil {
			return nil, err
		}
		out = append(out, Why{s.cause, found})
	}
	return out, nil
}
