package scoring

import (
	"math"
	"slices"

	"conoid/sim/fact"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// recording judges what was written down, and how it was asked.
type recording struct{ *trace }

// judgeAcuity: the acuity is taken to its threshold, where letters are missed,
// and recorded with the end point.
//
// Source: a survey of UK practice (Beesley, Davey and Elliott) names acuity that
// is not taken to threshold as poor technique.
func (t recording) judgeAcuity() (j judgement) {
	if t.end == nil {
		return j
	}
	read := t.letters()
	last := []int{len(t.moments) - 1}
	if !t.end.Acuity.Given() {
		j.findings = append(j.findings, finding("acuity-not-recorded", 1, last, "example", fact.LogMAR(exampleAcuity)))
	} else if f, ok := t.madeUp(read); ok {
		return judgement{findings: []Finding{f}}
	}
	if end := t.where(read, t.atEnd); len(end) > 0 && len(t.where(end, missedSome)) == 0 {
		j.findings = append(j.findings, finding("acuity-not-to-threshold", 0.5, end))
	}
	return j
}

// madeUp reports whether the acuity that was stated is not what was read: through the
// end point, or if that was not looked through, the best that was read at all. Two
// letters and what a fraction is rounded by are allowed.
func (t recording) madeUp(read []int) (Finding, bool) {
	last := []int{len(t.moments) - 1}
	stated := t.end.Acuity.LogMAR
	f := finding("acuity-made-up", 1, last, "stated", fact.LogMAR(stated), "tested", t.setup.Tested)
	through := t.where(read, t.atEnd)
	if len(through) == 0 {
		through = read
	}
	least, most := math.Inf(1), math.Inf(-1)
	for _, i := range through {
		v := unread
		if m := &t.moments[i]; m.Answer.Kind == patient.Read {
			v = m.Answer.LogMAR
		}
		least, most = min(least, v), max(most, v)
	}
	switch {
	case len(read) == 0:
		f.Form = "unread"
		return f, true
	case stated >= least-otherStated-grain && stated <= most+otherStated+grain:
		return Finding{}, false
	}
	f.Values["read"] = fact.LogMAR(least)
	f.Events = append(slices.Clone(through), last...)
	return f, true
}

// otherStated is how far, in logMAR, a stated acuity may be from what was read: two
// letters, and half a row for the steps of the fractions. The project's choice.
const otherStated = 0.04 + 0.05

// exampleAcuity, in logMAR, shows how an acuity is recorded: 6/5 and a letter
// missed.
const exampleAcuity = -0.08

// missedSome reports whether a letter was missed.
func missedSome(m *moment) bool {
	return m.Answer.Kind != patient.Read || slices.ContainsFunc(m.Answer.Rows, func(r patient.RowRead) bool { return r.Said != r.Shown })
}

// judgeQuestions: questions are open, and are not put again for nothing.
func (t recording) judgeQuestions() (j judgement) {
	asked := t.questions()
	if led := t.where(asked, func(m *moment) bool { return m.Action.Leading != "" }); len(led) > 0 {
		f := finding("leading-question", 0.6, led, "questions", fact.Count(len(led)))
		if len(led) > 1 {
			f.loses = 1
		}
		j.findings = append(j.findings, f)
	}
	if again := t.repeats(); len(again) > 0 {
		j.findings = append(j.findings, finding("useless-repeats", 0.4, again))
	}
	return j
}

// mostAsked is how often a question may be put with nothing changed: up to a majority
// of three. The project's choice.
const mostAsked = 3

// repeats are the questions beyond the third with nothing done in between, but
// for explaining and taking notes.
func (t recording) repeats() []int {
	var out []int
	var last sitting.Action
	n := 0
	for i := 1; i < len(t.moments); i++ {
		a := t.moments[i].Action
		switch {
		case a.Do == sitting.Note || a.Do == sitting.Explain:
		case a.Do != sitting.Ask || t.moments[i].putOff():
			n = 0
		case n > 0 && a.Question == last.Question && sameSize(a.Size, last.Size):
			if n++; n > mostAsked {
				out = append(out, i)
			}
		default:
			n = 1
		}
		if a.Do == sitting.Ask {
			last = a
		}
	}
	return out
}

func sameSize(a, b *float64) bool { return a == nil && b == nil || a != nil && b != nil && *a == *b }
