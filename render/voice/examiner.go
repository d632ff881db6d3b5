package voice

import (
	"strconv"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Examiner speaks for who examines: questions as they are asked, and what can be
// done as a button says it.
type Examiner struct{ voice Voice }

// Examiner is the examiner in the language of the voice.
func (v Voice) Examiner() Examiner { return Examiner{v} }

// Question is what the examiner says with a question about the chart in view.
func (x Examiner) Question(a sitting.Action, view chart.Name) string {
	switch {
	case a.Question == patient.ReadLetters && a.Size != nil:
		return x.voice.Text("told.asked.row", "row", fact.Row(*a.Size))
	case a.Question == patient.ReadLetters && chart.Named(view).Sized:
		return x.voice.Text("told.asked.letter")
	}
	return x.Ask(a.Question, a.Leading)
}

// Ask is what the examiner asks. A question is always put in the same words.
// If leading is not empty, it is the answer that is put into the patient's
// mouth: the kind of an answer, the label of a line, or any words.
func (x Examiner) Ask(q patient.Question, leading string) string {
	says := speaker{x.voice, 0}
	if leading == "" {
		return says.phrase("ask." + string(q))
	}
	answer := leading
	if x.voice.Has("say.answer." + leading) {
		answer = says.phrase("answer." + leading)
	} else if q == patient.WhichLines {
		answer = says.phrase("answer.line", "answer", x.line(leading))
	}
	return says.spoken(says.phrase("lead."+string(q), "answer", answer))
}

// line is the label of a line that is put into the patient's mouth, or the words that are.
func (x Examiner) line(leading string) any {
	if label, err := strconv.Atoi(leading); err == nil && x.voice.hours {
		return fact.Label(label)
	}
	return leading
}

// Action is an action as a button says it.
func (x Examiner) Action(a sitting.Action) string {
	name := string(a.Do)
	switch {
	case a.Do == sitting.Take && a.Lens == (optics.Lens{}):
		name = "take-cell"
	case a.Do == sitting.Show && a.Size != nil:
		name = "show-letter"
	}
	cell, _ := a.Cell.Cell()
	at := any(fact.Degrees(a.Axis))
	if a.Do == sitting.Point {
		at = fact.Label(a.Axis)
	}
	values := []any{
		"eye", a.Eye, "cell", cell, "lens", a.Lens, "at", at,
		"chart", a.Chart, "question", x.Asking(a), "field", a.Field, "text", a.Text,
	}
	if a.Size != nil {
		values = append(values, "row", fact.Row(*a.Size))
	}
	return x.voice.Capital(x.voice.Text("told.do."+name, values...))
}

// Asking is the question of an action as a button says it.
func (x Examiner) Asking(a sitting.Action) string {
	if a.Question == patient.ReadLetters && a.Size != nil {
		return x.voice.Text("told.ask.row", "row", fact.Row(*a.Size))
	}
	return x.voice.Text("told.ask." + string(a.Question))
}

// Expected is an answer in a word, as it can be expected of a patient or put
// into the mouth of one: the kind of an answer, or the label of a line.
func (x Examiner) Expected(answer string) string {
	if label, err := strconv.Atoi(answer); err == nil {
		return x.voice.Text("told.answer.line", "at", fact.Label(label))
	}
	return x.voice.Text("told.answer." + answer)
}
