package scoring

import (
	"math"
	"slices"

	"conoid/cases"
	"conoid/scoring/evidence"
	"conoid/sim/method"
	"conoid/sim/patient"
)

// accuracies fills in how near the claims are.
func (t claiming) accuracies(claims []Claim, s cases.ClaimScheme) {
	stated := t.found()
	for i := range claims {
		c := &claims[i]
		switch c.Name {
		case cases.AxisClaim:
			c.Accuracy = 0
			if stated.Cyl != 0 && t.truth.Cyl != 0 {
				c.Off = min(apart(stated.Axis, t.truth.Axis), apart(stated.Axis, t.arrowBalance))
				c.Accuracy = axisKept(c.Off, t.truth.Cyl, s)
			}
		case cases.CylinderClaim:
			c.Off = tidy(math.Abs(stated.Cyl - t.truth.Cyl))
			c.Accuracy = powerKept(c.Off, 0, s)
		case cases.SphereClaim:
			m := tidy(stated.SE() - t.truth.SE())
			c.Off = m
			c.Accuracy = powerKept(math.Abs(m), m, s)
		}
		if c.Name == cases.SphereClaim && slices.ContainsFunc(claims[:i], func(o Claim) bool { return o.Name == cases.CylinderClaim && o.unborne() }) {
			continue // the cylinder took the sphere along
		}
		if c.Support == evidence.Supported && c.Accuracy < 0.5 && c.Needed && t.misled(c) {
			// Who follows an answer that was chance, and looked from both sides,
			// loses half of the claim at most.
			c.Accuracy, c.Lucky = 0.5, true
		}
	}
}

// misled reports whether one of the answers next to the fit was chance.
func (t claiming) misled(c *Claim) bool {
	return slices.ContainsFunc(c.Heard, func(h Heard) bool { return h.Unfit == "" && t.chance(h) })
}

// axisKept is the share that is kept for an axis that is off by so many degrees.
func axisKept(off, cyl float64, s cases.ClaimScheme) float64 {
	band := cases.AxisBand(cyl)
	switch {
	case off <= band+grain:
		return 1
	case off <= 2*band+grain:
		return s.AxisKeeps / 100
	}
	return 0
}

// powerKept is the share that is kept for a power that is off by so many dioptres;
// minus, when it is less than zero, is by how much it is too minus, which is one band
// stricter from the second on.
func powerKept(off, signed float64, s cases.ClaimScheme) float64 {
	kept := []float64{1, s.FairKeeps / 100, s.WideKeeps / 100, 0}
	band := 3
	for i, limit := range []float64{s.Full, s.Fair, s.Wide} {
		if off <= limit+grain {
			band = i
			break
		}
	}
	if signed < 0 && band > 0 {
		band = min(band+1, 3)
	}
	return kept[band]
}

// excused is the support of a claim: what is contradicted by a step, where most of what
// contradicts it was chance, is as good as heard from one side. Those are the answers
// from what was stated to the fit.
func (t claiming) excused(c *Claim, s evidence.Support, near bool) evidence.Support {
	if s != evidence.Contradicted || !near || c.Fit == nil || c.Stated == nil {
		return s
	}
	from, to := *c.Stated, *c.Fit
	between := func(at float64) bool {
		if c.Name == cases.AxisClaim {
			return apart(from, at)+apart(at, to) <= apart(from, to)+2*method.FineArrowStep
		}
		return at >= min(from, to)-method.CylinderStep/2-grain && at <= max(from, to)+method.CylinderStep/2+grain
	}
	chance, all := 0, 0
	for _, h := range c.Heard {
		if h.Unfit != "" || h.Nothing || !between(h.At) {
			continue
		}
		all++
		if t.chance(h) {
			chance++
		}
	}
	if all > 0 && 2*chance >= all {
		return evidence.Weak
	}
	return s
}

// chance reports whether the same person would have said otherwise without noise.
func (t claiming) chance(h Heard) bool {
	m := &t.moments[h.Event]
	return m.Noiseless != nil && otherwise(m.Answer, m.Noiseless) ||
		m.Expected != nil && m.Answer.Kind == patient.Read && math.Abs(m.Answer.LogMAR-*m.Expected) > method.GainAlone
}
