package scoring

import (
	"cmp"
	"slices"

	"conoid/cases"
	"conoid/sim/fact"
)

// judgement is what a rule says of one item of the procedure.
type judgement struct {
	good     fact.Fact // what earned the points that no finding loses
	events   []int     // the evidence for it
	missed   fact.Fact // why nothing can be earned, if so
	findings []Finding
}

// item is one item of the procedure.
type item struct {
	most  func(cases.ProcedureScheme) float64
	judge func(*trace) judgement
}

// items are all of the procedure. Each is judged by what was seen and done, not
// by its place in an order, so that another order that works loses nothing.
var items = []item{
	{func(p cases.ProcedureScheme) float64 { return p.Cover }, func(t *trace) judgement { return preparation{t}.judgeCover() }},
	{func(p cases.ProcedureScheme) float64 { return p.CylinderOut }, func(t *trace) judgement { return preparation{t}.judgeCylinderOut() }},
	{func(p cases.ProcedureScheme) float64 { return p.Fog }, func(t *trace) judgement { return fogging{t}.judgeFog() }},
	{func(p cases.ProcedureScheme) float64 { return p.Verify }, func(t *trace) judgement { return fogging{t}.judgeVerify() }},
	{func(p cases.ProcedureScheme) float64 { return p.Axis }, func(t *trace) judgement { return axisWork{t}.judgeAxis() }},
	{func(p cases.ProcedureScheme) float64 { return p.Bracket }, func(t *trace) judgement { return blockWork{t}.judgeBracket() }},
	{func(p cases.ProcedureScheme) float64 { return p.SphereAlone }, func(t *trace) judgement { return blockWork{t}.judgeSphereAlone() }},
	{func(p cases.ProcedureScheme) float64 { return p.Check }, func(t *trace) judgement { return blockWork{t}.judgeCheck() }},
	{func(p cases.ProcedureScheme) float64 { return p.Sphere }, func(t *trace) judgement { return sphereWork{t}.judgeSphere() }},
	{func(p cases.ProcedureScheme) float64 { return p.Acuity }, func(t *trace) judgement { return recording{t}.judgeAcuity() }},
	{func(p cases.ProcedureScheme) float64 { return p.Lenses }, func(t *trace) judgement { return preparation{t}.judgeLenses() }},
	{func(p cases.ProcedureScheme) float64 { return p.Questions }, func(t *trace) judgement { return recording{t}.judgeQuestions() }},
}

// procedureOf marks the procedure of a sitting and gives all findings, the
// dearest first.
func procedureOf(t *trace, s cases.ProcedureScheme) (Part, []Finding) {
	p := Part{Name: ProcedurePart, Most: hundredth(fact.Points(s.Total()))}
	var found []Finding
	lost := map[string]fact.Points{}
	for _, it := range items {
		j, most := it.judge(t), fact.Points(it.most(s))
		reasons := j.reasons(most)
		for _, r := range reasons {
			p.Points += max(0, r.Points)
			lost[r.Finding] += r.Points
		}
		p.Reasons = append(p.Reasons, reasons...)
		for _, f := range j.findings {
			f.Severity = severity(f.loses * float64(most))
			found = append(found, f)
		}
	}
	p.Points = hundredth(p.Points)
	slices.SortStableFunc(found, func(a, b Finding) int { return cmp.Compare(lost[a.ID], lost[b.ID]) })
	return p, found
}

// reasons are the points of an item, earned and lost.
func (j judgement) reasons(most fact.Points) []Reason {
	if most == 0 {
		return nil
	}
	var out []Reason
	kept := most
	for _, f := range j.findings {
		if loses := hundredth(min(kept, fact.Points(f.loses)*most)); loses > 0 {
			out = append(out, Reason{Points: -loses, Events: f.Events, Finding: f.ID})
			kept = hundredth(kept - loses)
		}
	}
	switch {
	case kept == 0:
	case j.missed.ID != "":
		out = append(out, Reason{Why: j.missed, Points: -kept, Events: j.events})
	default:
		out = append(out, Reason{Why: j.good, Points: kept, Events: j.events})
	}
	return out
}

// seriousFrom is how many points of 100 a serious finding loses at least, if
// nothing else has lost them. The project's choice.
const seriousFrom = 2

// severity follows from the points that a finding loses.
func severity(points float64) Severity {
	switch {
	case points == 0:
		return Note
	case points < seriousFrom:
		return Slight
	}
	return Serious
}
