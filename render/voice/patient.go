package voice

import (
	"strings"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
)

// Answer is what the patient says. The chart in view and its labels decide how
// things are named; the answer's variant decides the wording, so that the same
// answer is always said in the same words.
func (v Voice) Answer(a patient.Answer, labels chart.Labels, name chart.Name) string {
	switch {
	case a.Kind == patient.Lines && len(a.Lines) > 0:
		return namer{v, labels, name, a.Variant}.say(a.Lines)
	case a.Kind == patient.Read && len(a.Rows) > 0:
		return v.rows(a.Rows, name, a.Variant)
	case a.Kind == patient.Alike:
		return v.phrase("alike."+judged(name), a.Variant)
	case a.Kind == patient.Blurred:
		return v.phrase("blurred."+judged(name), a.Variant)
	}
	return v.phrase(keys[a.Kind], a.Variant)
}

// keys are the phrases for the answers that are the same on every chart.
var keys = map[patient.Kind]string{
	patient.Unsure:        "unsure.any",
	patient.Changing:      "changing.any",
	patient.Left:          "limb.left",
	patient.Right:         "limb.right",
	patient.Parallel:      "block.parallel",
	patient.Perpendicular: "block.perpendicular",
	patient.RedClearer:    "colour.red",
	patient.GreenClearer:  "colour.green",
	patient.Better:        "change.better",
	patient.Worse:         "change.worse",
	patient.Smaller:       "change.smaller",
	patient.Same:          "change.same",
}

// judged is what a patient is asked to tell apart on a chart.
func judged(name chart.Name) string {
	if kind := chart.Named(name).Kind; kind != "" {
		return string(kind)
	}
	return "other"
}

// Ask is what the examiner asks. A question is always put in the same words.
// If leading is not empty, it is the answer that is put into the patient's
// mouth: the kind of an answer, the label of a line, or any words.
func (v Voice) Ask(q patient.Question, leading string) string {
	if leading == "" {
		return v.phrase("ask."+string(q), 0)
	}
	answer := leading
	if v.Has("say.answer." + leading) {
		answer = v.phrase("answer."+leading, 0)
	} else if q == patient.WhichLines {
		answer = v.phrase("answer.line", 0, "answer", leading)
	}
	return v.spoken(v.phrase("lead."+string(q), 0, "answer", answer))
}

// phrase chooses a phrase and fills in its words, given in pairs of a name and
// what stands for it. What nobody has words for is met with a shrug: a sitting
// goes on.
func (v Voice) phrase(key string, variant uint32, pairs ...any) string {
	f := fact.New("say."+key, pairs...)
	if !v.Has(f.ID) {
		f.ID = "say.unsure.any"
	}
	return v.way(f, variant)
}

// spoken begins with a capital, and mends the commas at the ends of names.
func (v Voice) spoken(s string) string { return v.Capital(commas.Replace(s)) }

var commas = strings.NewReplacer(",,", ",", ",.", ".")
