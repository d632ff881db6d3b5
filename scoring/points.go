package scoring

import (
	"math"

	"conoid/cases"
	"conoid/scoring/evidence"
	"conoid/sim/fact"
)

// PartName is the ID of a part of the marks.
type PartName string

// The parts. The first three are those of the claims.
const (
	AxisPart     PartName = "axis"
	CylinderPart PartName = "cylinder"
	SpherePart   PartName = "sphere"
	ConductPart  PartName = "conduct"
	StepsPart    PartName = "steps"
	TimePart     PartName = "time"
)

// PartNames are all parts, in their order.
func PartNames() []PartName {
	return []PartName{AxisPart, CylinderPart, SpherePart, ConductPart, StepsPart, TimePart}
}

// Name is the ID of the word for a part.
func (p PartName) Name() string { return "part." + string(p) }

// Part is one part of the marks.
type Part struct {
	Name    PartName    `json:"name"`
	Points  fact.Points `json:"points"`
	Most    fact.Points `json:"most"`
	Reasons []Reason    `json:"reasons"`
}

// Reason is why points were earned (positive) or lost (negative). Those earned
// add up to the points of the part, and all lost with them to its most.
type Reason struct {
	Why     fact.Fact   `json:"why,omitzero"` // absent when a finding says it
	Points  fact.Points `json:"points"`
	Events  fact.Events `json:"events,omitempty"`
	Finding string      `json:"finding,omitempty"` // ID of the finding that lost them
}

// worth is the most that each claim is worth at an eye, which has an axis to find or has
// not. It is the same for whoever sits the case, whether they state an end point or none.
func worth(s cases.ClaimScheme, axis bool) map[cases.Claim]float64 {
	if axis {
		return map[cases.Claim]float64{cases.AxisClaim: s.Axis, cases.CylinderClaim: s.Cylinder, cases.SphereClaim: s.Sphere}
	}
	return map[cases.Claim]float64{cases.CylinderClaim: s.Cylinder + s.Axis/2, cases.SphereClaim: s.Sphere + s.Axis/2}
}

// claimParts are the points of the claims at an eye, which has an axis to find or has not:
// each is worth its most, times how near it is, times how far the answers bear it out.
func claimParts(claims []Claim, s cases.ClaimScheme, axis, listened bool) []Part {
	most := worth(s, axis)
	var out []Part
	if len(claims) == 0 {
		for _, name := range cases.Claims() {
			out = append(out, Part{Name: PartName(name), Most: fact.Points(most[name])}.missed(fact.New("reason.no-end-point")))
		}
		return out
	}
	for _, c := range claims {
		p := Part{Name: PartName(c.Name), Most: fact.Points(most[c.Name])}
		if p.Most > 0 {
			p.Points = hundredth(p.Most * fact.Points(c.Accuracy*c.supportKept(s, listened)))
		}
		out = append(out, p)
	}
	return out
}

// supportKept is the share of a claim that is kept by how far the answers bear it
// out. Who did not listen has no claim that counts as more than weak.
func (c *Claim) supportKept(s cases.ClaimScheme, listened bool) float64 {
	switch {
	case c.Support == evidence.Supported && listened:
		return 1
	case c.Support == evidence.Supported, c.Support == evidence.Weak:
		return s.WeakKeeps / 100
	}
	return s.UnheardKeeps / 100
}

// reasons says why a claim has the points that it has; with a finding that explains
// what was lost, or without one.
func (c *Claim) reasons(p Part, s cases.ClaimScheme, listened bool, cause string) Part {
	events := fact.Events{}
	for _, h := range c.Heard {
		if h.Unfit == "" {
			events = append(events, h.Event)
		}
	}
	if p.Most == 0 {
		p.Reasons = append(p.Reasons, Reason{Why: fact.New("reason.claim.not-needed")})
		return p
	}
	why := fact.New("reason.claim", "support", c.Support, "off", c.offFact(), "accuracy", percent(c.Accuracy), "kept", percent(c.supportKept(s, listened)))
	if c.Support == evidence.Supported && !listened {
		why.ID = "reason.claim.unheeded"
	}
	if c.Lucky {
		why.ID = "reason.claim.lucky"
	}
	if p.Points > 0 {
		p.Reasons = append(p.Reasons, Reason{Why: why, Points: p.Points, Events: events})
	}
	if lost := hundredth(p.Most - p.Points); lost > 0 {
		r := Reason{Why: why, Points: -lost, Events: events, Finding: cause}
		if cause != "" {
			r.Why = fact.Fact{}
		}
		p.Reasons = append(p.Reasons, r)
	}
	return p
}

func percent(share float64) fact.Number { return fact.Number(math.Round(100 * share)) }

// offFact is how far a claim is off, in its unit.
func (c *Claim) offFact() fact.Fact {
	if c.Name == cases.AxisClaim {
		return fact.New("off.degrees", "off", fact.Degrees(tidy(c.Off)))
	}
	return fact.New("off.power", "off", fact.Amount(math.Abs(c.Off)))
}

// capOf is the most points for a sitting, by how many of its claims nothing bears
// out.
func capOf(claims []Claim, s cases.ClaimScheme) fact.Points {
	n := 0
	for i := range claims {
		if claims[i].unborne() {
			n++
		}
	}
	switch n {
	case 0:
		return 100
	case 1:
		return fact.Points(s.OneUnheard)
	}
	return fact.Points(s.TwoUnheard)
}

// tooEarly is why nobody is to be praised for how little it took, if so.
// The zero value is that it is not too early.
func tooEarly(claims []Claim, s cases.ClaimScheme) fact.Fact {
	if len(claims) == 0 {
		return fact.New("reason.no-end-point")
	}
	for _, c := range claims {
		if c.Needed && (c.Support != evidence.Supported || c.Accuracy < min(s.FairKeeps, s.AxisKeeps)/100) {
			return fact.New("reason.too-early", "claim", c.Name)
		}
	}
	return fact.Fact{}
}

// stepsPart marks the steps against par. Explaining, notes and repeats up to the
// third are not counted.
func stepsPart(s cases.ParScheme, steps int, par Par, early fact.Fact) Part {
	p := Part{Name: StepsPart, Most: fact.Points(s.Points)}
	if early.ID != "" {
		return p.missed(early)
	}
	whole := func(n float64) fact.Count { return fact.Count(math.Round(n)) }
	return p.keeps(kept(s, float64(steps), par.Steps),
		fact.New("reason.steps", "steps", fact.Count(steps), "par", whole(par.Steps), "free", whole(s.Free*par.Steps)))
}

// timePart marks the patient's time against par.
func timePart(s cases.ParScheme, seconds fact.Seconds, par Par, early fact.Fact) Part {
	p := Part{Name: TimePart, Most: fact.Points(s.Points)}
	if early.ID != "" {
		return p.missed(early)
	}
	return p.keeps(kept(s, float64(seconds), float64(par.Seconds)),
		fact.New("reason.time", "time", seconds, "par", par.Seconds, "free", fact.Seconds(s.Free)*par.Seconds))
}

// kept is the share of the points that is kept: all of them up to so many times
// par, none from so many times on, in proportion between.
func kept(s cases.ParScheme, n, par float64) float64 {
	if n <= s.Free*par {
		return 1
	}
	if n >= s.Most*par {
		return 0
	}
	return (s.Most*par - n) / ((s.Most - s.Free) * par)
}

// keeps gives a part a share of its points, for one reason.
func (p Part) keeps(share float64, why fact.Fact, events ...int) Part {
	p.Points = hundredth(p.Most * fact.Points(share))
	if p.Points > 0 {
		p.Reasons = append(p.Reasons, Reason{Why: why, Points: p.Points, Events: events})
	}
	if lost := hundredth(p.Most - p.Points); lost > 0 {
		p.Reasons = append(p.Reasons, Reason{Why: why, Points: -lost, Events: events})
	}
	return p
}

func (p Part) missed(why fact.Fact) Part {
	p.Points = 0
	p.Reasons = nil
	if p.Most > 0 {
		p.Reasons = []Reason{{Why: why, Points: -p.Most}}
	}
	return p
}

// hundredth rounds points.
func hundredth(v fact.Points) fact.Points { return fact.Points(math.Round(float64(v)*100)/100 + 0) }
