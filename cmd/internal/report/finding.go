package report

import (
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/fact"
)

// Words are what is said of a finding.
type Words struct {
	Title  string
	What   string // what happened
	Optics string // what it did to the focal lines
	Better string // what would have been better
	Tutor  string // what the tutor says of it; "" for nothing
}

// Of puts a finding into words.
func Of(v voice.Voice, f scoring.Finding) Words {
	say := func(part string) string {
		id := "finding." + f.ID + part
		if f.Form != "" && v.Has(id+"/"+f.Form) {
			id += "/" + f.Form
		}
		return v.Say(fact.Fact{ID: id, Values: f.Values})
	}
	w := Words{Title: say(""), What: v.Sentence(say(".what")), Optics: v.Sentence(say(".optics")), Better: v.Sentence(say(".better"))}
	if said := f.Remarks.In(v.Language); said != "" {
		w.Tutor = v.Text("report.tutor", "text", said)
	}
	return w
}

// Why is why points were earned or lost in a report.
func Why(v voice.Voice, r *scoring.Report, reason scoring.Reason) string {
	v = v.By(r.Labels)
	for _, f := range r.Findings {
		if f.ID == reason.Finding {
			return v.Sentence(Of(v, f).Title)
		}
	}
	return v.Sentence(v.Say(reason.Why))
}

// Verdict sums a mark up in a sentence.
func Verdict(v voice.Voice, m *scoring.Mark) string { return v.Sentence(v.Say(m.Verdict())) }

// Steps names the steps of some events in brackets; "" for none.
func Steps(v voice.Voice, r *scoring.Report, events fact.Events) string {
	steps := r.Steps(events)
	switch len(steps) {
	case 0:
		return ""
	case 1:
		return v.Text("report.step", "steps", steps)
	}
	return v.Text("report.steps", "steps", steps)
}
