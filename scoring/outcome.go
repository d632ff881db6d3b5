package scoring

import (
	"math"

	"conoid/cases"
	"conoid/sim/fact"
)

// endPointPart marks the end point: by the band of its defocus equivalent, and
// by whether its spherical equivalent is too far to one side. Event is that in
// which it was stated.
func endPointPart(s cases.EndPointScheme, m *Mark, event int) Part {
	p := Part{Name: EndPointPart, Most: fact.Points(s.Points)}
	if m == nil {
		return p.missed(fact.New("reason.no-end-point"))
	}
	d, se := float64(m.DefocusEquivalent), float64(m.Residual.M)
	loses, limit := 100.0, s.Wide
	switch {
	case d <= s.Close+grain:
		loses, limit = 0, s.Close
	case d <= s.Fair+grain:
		loses, limit = s.FairLoses, s.Fair
	case d <= s.Wide+grain:
		loses = s.WideLoses
	}
	why := fact.New("reason.end-point", "left", m.DefocusEquivalent, "limit", fact.Amount(limit),
		"off", fact.Amount(se), "times", fact.Number(s.TooFarFactor))
	if d > s.Wide+grain {
		why.ID = "reason.end-point.beyond"
	}
	minus, plus := se < -s.TooMinus-grain, se > s.TooPlus+grain
	if (minus || plus) && loses > 0 && loses < 100 {
		loses = min(100, loses*s.TooFarFactor)
		why.ID = "reason.end-point.too-plus"
		if minus {
			why.ID = "reason.end-point.too-minus"
		}
	}
	return p.keeps(1-loses/100, why, event)
}

// tooEarly is why nobody is to be praised for how little it took, if so.
func tooEarly(m *Mark) (why fact.Fact, early bool) {
	switch {
	case m == nil:
		return fact.New("reason.no-end-point"), true
	case m.Steps.Question == 0:
		return fact.New("reason.nothing-asked"), true
	}
	return fact.Fact{}, false
}

// stepsPart marks the steps against par.
func stepsPart(s cases.ParScheme, m *Mark, par Par) Part {
	p := Part{Name: StepsPart, Most: fact.Points(s.Points)}
	if why, early := tooEarly(m); early {
		return p.missed(why)
	}
	whole := func(n float64) fact.Count { return fact.Count(math.Round(n)) }
	return p.keeps(kept(s, float64(m.Steps.Total), par.Steps),
		fact.New("reason.steps", "steps", fact.Count(m.Steps.Total), "par", whole(par.Steps), "free", whole(s.Free*par.Steps)))
}

// timePart marks the patient's time against par.
func timePart(s cases.ParScheme, m *Mark, par Par) Part {
	p := Part{Name: TimePart, Most: fact.Points(s.Points)}
	if why, early := tooEarly(m); early {
		return p.missed(why)
	}
	return p.keeps(kept(s, float64(m.Seconds), float64(par.Seconds)),
		fact.New("reason.time", "time", m.Seconds, "par", par.Seconds, "free", fact.Seconds(s.Free)*par.Seconds))
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
	p.Reasons = []Reason{{Why: why, Points: -p.Most}}
	return p
}
