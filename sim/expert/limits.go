package expert

import (
	"slices"

	"conoid/sim/chart"
	"conoid/sim/patient"
)

// Limits are the charts and questions that an examiner may use, asked each time; nil for
// all.
type Limits struct {
	Chart    func(chart.Name) bool
	Question func(patient.Question) bool
}

// Hang is the chart to hang for one: where it may not be hung, the first of its kind that
// may, or else itself, which is then refused.
func (l Limits) Hang(c chart.Name) chart.Name {
	if l.Chart == nil || l.Chart(c) {
		return c
	}
	is := chart.Named(c)
	all := chart.All()
	i := slices.IndexFunc(all, func(o chart.Chart) bool { return o.Kind == is.Kind && o.Sized == is.Sized && l.Chart(o.Name) })
	if i < 0 {
		return c
	}
	return all[i].Name
}

// May reports whether a question may be asked.
func (l Limits) May(q patient.Question) bool { return l.Question == nil || l.Question(q) }

// Judged reports whether a chart, or another of its kind, may be hung and its question be
// asked.
func (l Limits) Judged(c chart.Name) bool {
	return (l.Chart == nil || l.Chart(l.Hang(c))) && l.May(patient.QuestionOn(chart.Named(c).Kind))
}
