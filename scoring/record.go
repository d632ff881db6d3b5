package scoring

import (
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
func (t recording) judgeAcuity() judgement {
	if t.end == nil {
		return judgement{missed: fact.New("reason.acuity.not-reached")}
	}
	read := t.letters()
	if len(read) == 0 && t.end.Acuity.Given() {
		return judgement{missed: fact.New("reason.acuity.not-read", "tested", t.setup.Tested)}
	}
	j := judgement{good: fact.New("reason.acuity"), events: read}
	last := []int{len(t.moments) - 1}
	if !t.end.Acuity.Given() {
		j.findings = append(j.findings, finding("acuity-not-recorded", 1, last, "example", fact.LogMAR(exampleAcuity)))
	}
	if end := t.where(read, t.atEnd); len(end) > 0 && len(t.where(end, missedSome)) == 0 {
		j.findings = append(j.findings, finding("acuity-not-to-threshold", 0.5, end))
	}
	return j
}

// exampleAcuity, in logMAR, shows how an acuity is recorded: 6/5 and a letter
// missed.
const exampleAcuity = -0.08

// missedSome reports whether a letter was missed.
func missedSome(m *moment) bool {
	return m.Answer.Kind != patient.Read || slices.ContainsFunc(m.Answer.Rows, func(r patient.RowRead) bool { return r.Said != r.Shown })
}

// judgeQuestions: questions are open, and are not put again for nothing.
func (t recording) judgeQuestions() judgement {
	asked := t.questions()
	if len(asked) == 0 {
		return judgement{missed: fact.New("reason.nothing-asked")}
	}
	j := judgement{good: fact.New("reason.questions"), events: asked[:1]}
	if led := t.where(asked, func(m *moment) bool { return m.Action.Leading != "" }); len(led) > 0 {
		f := finding("leading-question", 0.5, led, "questions", fact.Count(len(led)))
		if len(led) > 1 {
			f.loses = 1
		}
		j.findings = append(j.findings, f)
	}
	if again := t.repeats(); len(again) > 0 {
		j.findings = append(j.findings, finding("useless-repeats", 0.5, again))
	}
	return j
}

// mostAsked is how often a question may be put with nothing changed: once more,
// to be sure. The project's choice.
const mostAsked = 2

// repeats are the questions beyond the second with nothing done in between, but
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
