package scoring

import (
	"fmt"
	"slices"

	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// judgeAcuity: the acuity is taken to its threshold, where letters are missed,
// and recorded with the end point.
//
// Source: a survey of UK practice (Beesley, Davey and Elliott) names acuity that
// is not taken to threshold as poor technique.
func (t *trace) judgeAcuity() judgement {
	if t.end == nil {
		return judgement{missed: "The sitting did not come to the acuity."}
	}
	read := t.letters()
	if len(read) == 0 && t.end.HasAcuity {
		return judgement{missed: fmt.Sprintf("An acuity was stated, and the %s eye was never asked to read.", t.setup.Tested)}
	}
	j := judgement{good: "The acuity was taken to its threshold, and recorded.", events: read}
	last := []int{len(t.moments) - 1}
	if !t.end.HasAcuity {
		j.findings = append(j.findings, Finding{
			ID: "acuity-not-recorded", Title: "The acuity was not recorded", Events: last, loses: 1,
			What:   "The end point was stated without an acuity.",
			Optics: "A correction is judged by what is seen through it.",
			Better: "State the acuity with the correction, as in: va 6/5-1.",
		})
	}
	if end := t.where(read, t.atEnd); len(end) > 0 && len(t.where(end, missedSome)) == 0 {
		j.findings = append(j.findings, Finding{
			ID: "acuity-not-to-threshold", Title: "The acuity was not taken to its threshold", Events: end, loses: 0.5,
			What:   "Through the end point only rows were asked for in which every letter was read.",
			Optics: "Half a dioptre of blur costs about a line; a row that is easy to read does not show it.",
			Better: "Ask for smaller rows until letters are missed.",
		})
	}
	return j
}

// missedSome tells whether a letter was missed.
func missedSome(m *moment) bool {
	return m.Answer.Kind != patient.Read || slices.ContainsFunc(m.Answer.Rows, func(r patient.RowRead) bool { return r.Said != r.Shown })
}

// judgeQuestions: questions are open, and are not put again for nothing.
func (t *trace) judgeQuestions() judgement {
	asked := t.questions()
	if len(asked) == 0 {
		return judgement{missed: "Nothing was asked."}
	}
	j := judgement{good: "The questions were open, and none was repeated for nothing.", events: asked[:1]}
	if led := t.where(asked, func(m *moment) bool { return m.Action.Leading != "" }); len(led) > 0 {
		f := Finding{
			ID: "leading-question", Title: "An answer was put into the patient's mouth", Events: led, loses: 0.5,
			What:   fmt.Sprintf("%s asked with the answer in it.", were(len(led), "question")),
			Optics: "The image stays the same; what is said about it moves toward what was suggested.",
			Better: "Ask which, and leave “alike” open.",
		}
		if len(led) > 1 {
			f.loses = 1
		}
		j.findings = append(j.findings, f)
	}
	if again := t.repeats(); len(again) > 0 {
		j.findings = append(j.findings, Finding{
			ID: "useless-repeats", Title: "The same question again and again", Events: again, loses: 0.5,
			What:   "The same question was asked more than twice with nothing changed.",
			Optics: "The image was the same each time. Most people repeat what they said.",
			Better: "Change something: a lens, the arrow, the chart; then ask.",
		})
	}
	return j
}

// mostAsked is how often a question may be put with nothing changed: once more,
// to be sure. The project's choice.
const mostAsked = 2

// repeats are the questions beyond the second with nothing done in between, but
// for explaining and taking notes.
func (t *trace) repeats() []int {
	var out []int
	var last sitting.Action
	n := 0
	for i := 1; i < len(t.moments); i++ {
		a := t.moments[i].Action
		switch {
		case a.Do == sitting.Note || a.Do == sitting.Explain:
		case a.Do != sitting.Ask:
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
