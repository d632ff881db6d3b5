package scoring

import (
	"slices"

	"conoid/cases"
	"conoid/scoring/evidence"
	"conoid/sim/fact"
)

// suspects are the findings that explain why the answers do not bear a claim out, the
// likeliest first.
var suspects = map[cases.Claim][]string{
	cases.AxisClaim: {
		"dial-missing", "axis-along-line", "axis-mirrored", "cylinder-missed", "arrow-turned-wrong",
		"arrow-missing", "blocks-axis-unsettled", "arrow-not-balanced",
	},
	cases.CylinderClaim: {
		"dial-missing", "blocks-missing", "cylinder-missed", "axis-along-line", "axis-mirrored", "blocks-axis-unsettled",
		"reversing-cylinder-kept", "cylinder-not-bracketed", "cylinder-steps-coarse", "sphere-moved",
	},
	cases.SphereClaim: {
		"axis-along-line", "axis-mirrored", "letters-missing", "working-lens-left-in", "fog-left-in", "too-much-minus", "too-much-plus", "most-plus-not-shown",
	},
}

// spoils are the findings that explain why answers were unfit. Where several do, the
// first counts.
var spoils = []struct {
	unfit    Unfit
	findings []string
}{
	{OtherEyeOpen, []string{"other-eye-open", "wrong-eye"}},
	{LedOn, []string{"leading-question"}},
	{NotFogged, []string{"fog-too-little", "fog-not-verified", "fog-check-unheeded", "fog-lost"}},
	{ThroughLens, []string{"cylinder-left-in"}},
}

// causeOf is the ID of the finding that explains what a claim lost; there is none for
// a claim that the answers bear out, and that is off all the same. Where no fault
// explains it, one is added that names what was heard and what was stated.
func (t claiming) causeOf(c *Claim, listened bool, faults []fault) (string, []fault) {
	has := func(id string) bool { return slices.ContainsFunc(faults, func(f fault) bool { return f.ID == id }) }
	if c.Support == evidence.Supported {
		if !listened && has("answers-unheeded") {
			return "answers-unheeded", faults
		}
		return "", faults
	}
	likely := slices.Clone(suspects[c.Name])
	if has("wrong-eye") && len(c.Heard) == 0 {
		likely = append([]string{"wrong-eye"}, likely...)
	}
	for _, why := range slices.Backward(spoils) {
		if c.mostly(why.unfit) {
			likely = append(slices.Clone(why.findings), likely...)
		}
	}
	for _, id := range likely {
		if has(id) {
			return id, faults
		}
	}
	f := t.unborne(c)
	return f.ID, append(faults, fault{Finding: f})
}

// mostly reports whether more answers about a claim were unfit for one reason than
// were fit.
func (c *Claim) mostly(why Unfit) bool {
	n := 0
	for _, h := range c.Heard {
		switch h.Unfit {
		case why:
			n++
		case "":
			n--
		}
	}
	return n > 0
}

// unborne names what was heard of a claim, and what was stated instead.
func (t claiming) unborne(c *Claim) Finding {
	var events []int
	for _, h := range c.Heard {
		events = append(events, h.Event)
	}
	events = append(events, len(t.moments)-1)
	var f Finding
	switch answers := fact.Count(len(c.Heard)); c.Name {
	case cases.AxisClaim:
		f = finding("axis-not-borne-out", 0, events, "answers", answers)
	case cases.CylinderClaim:
		f = finding("cylinder-not-borne-out", 0, events, "answers", answers)
	default:
		f = finding("sphere-not-borne-out", 0, events, "answers", answers)
	}
	f.Form = string(c.Support)
	value := func(v float64) any {
		switch c.Name {
		case cases.AxisClaim:
			return fact.Degrees(v)
		case cases.CylinderClaim:
			return fact.Power(-v + 0)
		}
		return fact.Power(v)
	}
	if c.Stated != nil {
		f.Values["stated"] = value(*c.Stated)
	}
	if c.Fit != nil {
		f.Values["fit"] = value(tidyFit(c))
	} else if c.Support != evidence.None {
		f.Form = "weak-dial"
	}
	return f
}
