package scoring

import (
	"math"

	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/patient"
)

// Luck is an answer that the same person would have given otherwise without
// noise, lapses, hesitation and obligingness.
type Luck struct {
	Event     int       `json:"event"`
	Said      fact.Fact `json:"said"`
	Noiseless fact.Fact `json:"noiseless"`
}

// Lines named this many degrees apart are other lines: the fan has one every
// ArrowStep. Acuities this far apart, in logMAR, are more than chance: ±0.11 covers
// 95 % of retests of a sharp eye (as quoted in a thesis on the variability of
// visual acuity tests; the chart is not known).
const (
	otherLines  = method.ArrowStep
	otherAcuity = 0.11
)

// luckOf are the answers of a sitting that were chance.
func luckOf(t *trace) []Luck {
	out := []Luck{}
	for i := range t.moments {
		m := &t.moments[i]
		if m.Answer == nil || m.putOff() {
			continue
		}
		if m.Expected != nil && m.Answer.Kind == patient.Read {
			if math.Abs(m.Answer.LogMAR-*m.Expected) > otherAcuity {
				out = append(out, Luck{m.N, acuity(m.Answer.LogMAR), acuity(*m.Expected)})
			}
			continue
		}
		if otherwise(m.Answer, m.Noiseless) {
			out = append(out, Luck{m.N, said(m.Answer), said(m.Noiseless)})
		}
	}
	return out
}

// otherwise reports whether two answers differ in substance. Lines that change
// while they are looked at are no noise, and letters are noise by themselves.
func otherwise(a, b *patient.Answer) bool {
	switch {
	case a.Kind == patient.Changing || b.Kind == patient.Changing || a.Kind == patient.Read || b.Kind == patient.Read:
		return false
	case a.Kind == patient.Lines && b.Kind == patient.Lines:
		x, ok := label(a)
		y, too := label(b)
		return ok && too && apart(x, y) > otherLines
	}
	return substance(a.Kind) != substance(b.Kind)
}

// substance puts together what comes to the same for the examiner.
func substance(k patient.Kind) patient.Kind {
	switch k {
	case patient.Unsure:
		return patient.Alike
	case patient.Smaller:
		return patient.Same
	}
	return k
}

// said is an answer in short.
func said(a *patient.Answer) fact.Fact {
	switch a.Kind {
	case patient.Lines:
		l, ok := label(a)
		if !ok {
			return fact.New("said.all-around")
		}
		return fact.New("said.lines", "label", fact.Label(l))
	case patient.Read:
		return acuity(a.LogMAR)
	}
	return fact.New("said." + string(a.Kind))
}

func acuity(logMAR float64) fact.Fact { return fact.New("said.read", "acuity", fact.LogMAR(logMAR)) }
