package scoring

import (
	"fmt"

	"conoid/cases"
)

// endPointPart marks the end point: by the band of its defocus equivalent, and
// by whether its spherical equivalent is too far to one side. Event is that in
// which it was stated.
func endPointPart(s cases.EndPointScheme, m *Mark, event int) Part {
	p := Part{Name: EndPointPart, Most: s.Points}
	if m == nil {
		return p.missed("No end point was stated.")
	}
	d := m.DefocusEquivalent
	loses, band := 100.0, fmt.Sprintf("more than %.2f D off", s.Wide)
	switch {
	case d <= s.Close+grain:
		loses, band = 0, fmt.Sprintf("within %.2f D", s.Close)
	case d <= s.Fair+grain:
		loses, band = s.FairLoses, fmt.Sprintf("within %.2f D", s.Fair)
	case d <= s.Wide+grain:
		loses, band = s.WideLoses, fmt.Sprintf("within %.2f D", s.Wide)
	}
	text := fmt.Sprintf("The end point leaves %.2f D of defocus equivalent, which is %s of the truth", d, band)
	if d > s.Wide+grain {
		text = fmt.Sprintf("The end point leaves %.2f D of defocus equivalent, which is %s the truth", d, band)
	}
	far := ""
	switch {
	case m.Residual.M < -s.TooMinus-grain:
		far = "too minus"
	case m.Residual.M > s.TooPlus+grain:
		far = "too plus"
	}
	if far != "" && loses > 0 && loses < 100 {
		loses = min(100, loses*s.TooFarFactor)
		text += fmt.Sprintf("; its spherical equivalent is %s D %s, and what is lost counts %g times", plainPower(m.Residual.M), far, s.TooFarFactor)
	}
	return p.keeps(1-loses/100, text+".", event)
}

// tooEarly says why nobody is to be praised for how little it took.
func tooEarly(m *Mark) string {
	switch {
	case m == nil:
		return "No end point was stated."
	case m.Steps.Question == 0:
		return "Nothing was asked."
	}
	return ""
}

// stepsPart marks the steps against par.
func stepsPart(s cases.ParScheme, m *Mark, par Par) Part {
	p := Part{Name: StepsPart, Most: s.Points}
	if why := tooEarly(m); why != "" {
		return p.missed(why)
	}
	n := float64(m.Steps.Total)
	return p.keeps(kept(s, n, par.Steps), fmt.Sprintf("%s; par is %.0f, and up to %.0f nothing is lost.", count(m.Steps.Total, "step"), par.Steps, s.Free*par.Steps))
}

// timePart marks the patient's time against par.
func timePart(s cases.ParScheme, m *Mark, par Par) Part {
	p := Part{Name: TimePart, Most: s.Points}
	if why := tooEarly(m); why != "" {
		return p.missed(why)
	}
	return p.keeps(kept(s, m.Seconds, par.Seconds), fmt.Sprintf("%s of the patient's time; par is %s, and up to %s nothing is lost.", clock(m.Seconds), clock(par.Seconds), clock(s.Free*par.Seconds)))
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
func (p Part) keeps(share float64, text string, events ...int) Part {
	p.Points = hundredth(p.Most * share)
	if p.Points > 0 {
		p.Reasons = append(p.Reasons, Reason{Text: text, Points: p.Points, Events: events})
	}
	if lost := hundredth(p.Most - p.Points); lost > 0 {
		p.Reasons = append(p.Reasons, Reason{Text: text, Points: -lost, Events: events})
	}
	return p
}

func (p Part) missed(text string) Part {
	p.Reasons = []Reason{{Text: text, Points: -p.Most}}
	return p
}
