package cases

import (
	"math"
	"slices"

	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Check looks for what a tutor may not have meant. Nothing in it makes a case
// unfit for use. It asks the simulation for the acuities, which takes a moment.
func Check(c *Case) []fact.Fact {
	return slices.Concat(checkFile(c), checkTexts(c), checkLanguage(c), checkRecord(c), checkMarking(c), checkNeural(c), checkCard(c), checkContradictions(c), CheckCopied(c, false), CheckTold(c))
}

// Defocus equivalents, in dioptres, of an objective result that misleads and of
// one that cannot be: the project's choice (the standard deviation of
// retinoscopy is objectiveM).
const (
	farOff = 1.25
	absurd = 3.00
)

// checkFile looks at what needs no simulation.
func checkFile(c *Case) []fact.Fact {
	return slices.Concat(checkObjective(c), checkReach(c), checkFog(c), checkTonus(c), checkLevel(c))
}

// checkObjective compares the objective result with the error.
func checkObjective(c *Case) (out []fact.Fact) {
	e := c.Of(c.Tested)
	d := e.Objective.Power().Sub(e.Error.Power())
	off := math.Abs(d.M) + d.Astigmatism()
	switch {
	case off > absurd:
		out = append(out, fact.New("case.mind.absurd", "objective", e.Objective, "off", fact.Amount(off), "error", e.Error))
	case off > farOff:
		out = append(out, fact.New("case.mind.far", "objective", e.Objective, "off", fact.Amount(off), "error", e.Error))
	}
	if e.Error.Cyl < 0 && e.Error.Cyl > -method.FaintestCylinder {
		out = append(out, fact.New("case.mind.faint", "cyl", fact.Power(e.Error.Cyl)))
	}
	return out
}

// checkReach looks for what the trial set does not have.
func checkReach(c *Case) (out []fact.Fact) {
	e := c.Of(c.Tested)
	set := optics.TrialSet{PlusCylinders: c.Room.PlusCylinders}
	weakest, strongest := slices.Min(set.Spheres()), slices.Max(set.Spheres())
	if e.Error.Sphere < weakest || e.Error.Sphere+method.UsualFog > strongest {
		out = append(out, fact.New("case.mind.spheres", "least", fact.Power(weakest), "most", fact.Power(strongest)))
	}
	if largest := slices.Min(set.Cylinders()); e.Error.Cyl < largest {
		out = append(out, fact.New("case.mind.cylinders", "most", fact.Power(largest), "cyl", fact.Power(e.Error.Cyl)))
	}
	for _, err := range notMadeUp(c) {
		out = append(out, fact.New("case.mind.not-made-up", "objective", e.Objective, "cause", err))
	}
	return out
}

// checkFog looks at where the usual fog puts the back focal line.
func checkFog(c *Case) []fact.Fact {
	back, enough := c.Fogged()
	values := []any{"fog", fact.Power(method.UsualFog), "back", fact.Amount(back)}
	switch {
	case enough:
		return nil
	case back < 0:
		return []fact.Fact{fact.New("case.mind.fog-behind", values...)}
	case back < method.LeastFog:
		return []fact.Fact{fact.New("case.mind.fog-little", values...)}
	}
	return []fact.Fact{fact.New("case.mind.fog-much", values...)}
}

// cramped is the age, in years, from which a cramp of accommodation is not to be
// expected: common practice.
const cramped = 40

// checkTonus looks for accommodation that the person cannot keep up.
func checkTonus(c *Case) []fact.Fact {
	f, amplitude := made{c}.focusing(), made{c}.amplitude(c.Of(c.Tested))
	switch {
	case f.Latent+f.Spasm > amplitude:
		return []fact.Fact{fact.New("case.mind.tonus", "tonus", fact.Amount(f.Latent+f.Spasm), "amplitude", fact.Amount(amplitude))}
	case f.Spasm > 0 && c.Age >= cramped:
		return []fact.Fact{fact.New("case.mind.spasm", "age", fact.Number(c.Age))}
	case c.Latent != nil && f.Latent > 0 && made{c}.hyperopia() < latentFrom:
		return []fact.Fact{fact.New("case.mind.latent", "latent", fact.Amount(f.Latent))}
	}
	return nil
}

// checkNeural looks for an acuity that the nervous system allows and the optics do
// not.
func checkNeural(c *Case) (out []fact.Fact) {
	for _, side := range []sitting.Side{sitting.Right, sitting.Left} {
		e := c.Of(side)
		if e.Neural == "" {
			continue
		}
		if t := sitting.Start(c.Setup(), sitting.Seeded(cardSeed)).Truth(side); t.Grain == 1 {
			out = append(out, fact.New("case.mind.neural", "given", e.Neural, "eye", side, "seen", fact.Row(t.Best)))
		}
	}
	return out
}

func checkLevel(c *Case) []fact.Fact {
	g, hard := c.grade(), c.Difficulties()
	switch {
	case g == c.Level:
		return nil
	case len(hard) == 0:
		return []fact.Fact{fact.New("case.mind.level-easy", "level", fact.Count(c.Level), "grade", fact.Count(g))}
	}
	return []fact.Fact{fact.New("case.mind.level", "level", fact.Count(c.Level), "hard", hard, "grade", fact.Count(g))}
}

// notMadeUp says of each lens of the objective result of the tested eye that the
// trial set does not have why that is.
func notMadeUp(c *Case) (out []error) {
	set := optics.TrialSet{PlusCylinders: c.Room.PlusCylinders}
	rx := c.Of(c.Tested).Objective
	for _, l := range []optics.Lens{optics.SphereOf(rx.Sphere), optics.CylinderOf(rx.Cyl, rx.Axis)} {
		if err := set.Check(l); l.Power != 0 && err != nil {
			out = append(out, err)
		}
	}
	return out
}

// Fogged is how far in front of the retina of the tested eye, in dioptres, the
// usual fog on the objective sphere puts the back focal line when the cylinder is
// out, and whether that is as it should be.
func (c *Case) Fogged() (back float64, enough bool) {
	e := c.Of(c.Tested)
	back = e.Objective.Sphere + method.UsualFog - e.Error.Sphere
	return back, back >= method.LeastFog && back <= method.MostFog
}
