package scoring

import (
	"conoid/cases"
	"conoid/sim/fact"
)

// judgement is what a rule says of one item of the work.
type judgement struct {
	findings []Finding
}

// item is one item of the work. Its most is what a finding takes off the conduct;
// an item without one only explains what claims lost.
type item struct {
	most  func(cases.ConductScheme) float64
	judge func(*trace) judgement
}

// items are all that is looked at. Each is judged by what was seen and done, not by
// its place in an order, so that another order that works loses nothing.
var items = []item{
	{func(c cases.ConductScheme) float64 { return c.Cover }, func(t *trace) judgement { return preparation{t}.judgeCover() }},
	{func(c cases.ConductScheme) float64 { return c.CylinderOut }, func(t *trace) judgement { return preparation{t}.judgeCylinderOut() }},
	{func(c cases.ConductScheme) float64 { return c.Verify }, func(t *trace) judgement { return fogging{t}.judge() }},
	{nil, func(t *trace) judgement { return axisWork{t}.judgeAxis() }},
	{nil, func(t *trace) judgement { return blockWork{t}.judgeBracket() }},
	{func(c cases.ConductScheme) float64 { return c.SphereAlone }, func(t *trace) judgement { return blockWork{t}.judgeSphereAlone() }},
	{func(c cases.ConductScheme) float64 { return c.Check }, func(t *trace) judgement { return blockWork{t}.judgeCheck() }},
	{nil, func(t *trace) judgement { return sphereWork{t}.judgeSphere() }},
	{func(c cases.ConductScheme) float64 { return c.Acuity }, func(t *trace) judgement { return recording{t}.judgeAcuity() }},
	{func(c cases.ConductScheme) float64 { return c.Lenses }, func(t *trace) judgement { return preparation{t}.judgeLenses() }},
	{func(c cases.ConductScheme) float64 { return c.Questions }, func(t *trace) judgement { return recording{t}.judgeQuestions() }},
}

// fault is a finding with what it takes off the conduct.
type fault struct {
	Finding
	takes fact.Points
}

// faultsOf are all findings of a sitting.
func faultsOf(t *trace, s cases.ConductScheme) (out []fault) {
	for _, it := range items {
		for _, f := range it.judge(t).findings {
			takes := fact.Points(0)
			if it.most != nil {
				takes = hundredth(fact.Points(f.loses * it.most(s)))
			}
			out = append(out, fault{f, takes})
		}
	}
	return out
}

// conductPart marks whether the answers were heeded, less what the faults take off.
func conductPart(s cases.ConductScheme, all []Followed, enough int, faults []fault) (Part, []Finding) {
	p := Part{Name: ConductPart, Most: fact.Points(s.Heeding)}
	share := beyondChance(all, enough)
	if len(all) == 0 {
		return p.missed(fact.New("reason.nothing-heard")), nil
	}
	kept := hundredth(p.Most * fact.Points(min(1, share/heedingFull)))
	var found []Finding
	followed, unheeded := 0, []Followed{}
	var events fact.Events
	for _, f := range all {
		if f.Heeded {
			followed++
			events = append(events, f.Events...)
		} else {
			unheeded = append(unheeded, f)
		}
	}
	if lost := hundredth(p.Most - kept); lost > 0 {
		r := Reason{Why: fact.New("reason.few-answers", "answers", fact.Count(len(all)), "enough", fact.Count(enough)), Points: -lost}
		if len(unheeded) > 0 {
			f := answersUnheeded(all, unheeded)
			found = append(found, f)
			r = Reason{Points: -lost, Events: f.Events, Finding: f.ID}
		}
		p.Reasons = append(p.Reasons, r)
	}
	for _, f := range faults {
		if takes := min(f.takes, kept); takes > 0 {
			p.Reasons = append(p.Reasons, Reason{Points: -takes, Events: f.Events, Finding: f.ID})
			kept = hundredth(kept - takes)
		}
	}
	if p.Points = kept; kept > 0 {
		p.Reasons = append(p.Reasons, Reason{Points: kept, Events: events,
			Why: fact.New("reason.heeded", "heeded", fact.Count(followed), "answers", fact.Count(len(all)))})
	}
	return p, found
}

// answersUnheeded names the answers that were not followed, the first of them in
// words.
func answersUnheeded(all, unheeded []Followed) Finding {
	var events []int
	for _, u := range unheeded {
		events = append(events, u.Events...)
	}
	u := unheeded[0]
	f := finding("answers-unheeded", 1, events, "unheeded", fact.Count(len(unheeded)), "answers", fact.Count(len(all)), "said", u.Said)
	switch u.Claim {
	case cases.AxisClaim:
		f.Values["from"], f.Values["to"] = fact.Degrees(u.From), fact.Degrees(u.To)
		f.Form = "axis"
	case cases.CylinderClaim:
		f.Values["from"], f.Values["to"] = fact.Power(-u.From+0), fact.Power(-u.To+0)
		f.Form = "cylinder"
	}
	return f
}
