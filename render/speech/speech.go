// Package speech puts the patient's answers and the examiner's questions into
// words.
package speech

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"conoid/assets"
	"conoid/sim/chart"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Voice speaks in one language.
type Voice struct{ Language string }

// English is the voice of the terminal.
var English = Voice{assets.English}

// Say is what the patient says, in English.
func Say(a patient.Answer, labels chart.Labels, name sitting.ChartName) string {
	return English.Say(a, labels, name)
}

// Ask is what the examiner asks, in English.
func Ask(q patient.Question, leading string) string { return English.Ask(q, leading) }

// Say is what the patient says. The chart in view and its labels decide how
// things are named; the answer's variant decides the wording, so that the same
// answer is always said in the same words.
func (v Voice) Say(a patient.Answer, labels chart.Labels, name sitting.ChartName) string {
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
func judged(name sitting.ChartName) string {
	switch name {
	case sitting.Fan, sitting.Clock, sitting.Sunburst:
		return "lines"
	case sitting.Arrow:
		return "limbs"
	case sitting.Blocks:
		return "blocks"
	case sitting.Duochrome:
		return "colours"
	case sitting.Letters, sitting.Letter:
		return "letters"
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
	if _, known := assets.Phrase(v.Language, "answer."+leading, 0); known {
		answer = v.phrase("answer."+leading, 0)
	} else if q == patient.WhichLines {
		answer = v.phrase("answer.line", 0, "answer", leading)
	}
	return sentence(v.phrase("lead."+string(q), 0, "answer", answer))
}

// phrase chooses a phrase and fills in its words, given as pairs of a name
// and what stands for it. What nobody has words for is met with a shrug: a
// sitting goes on.
func (v Voice) phrase(key string, variant uint32, words ...string) string {
	p, ok := assets.Phrase(v.Language, key, variant)
	if !ok {
		p, _ = assets.Phrase(v.Language, "unsure.any", variant)
	}
	for i := 0; i+1 < len(words); i += 2 {
		p = strings.ReplaceAll(p, "{"+words[i]+"}", words[i+1])
	}
	return p
}

// sentence begins with a capital, and mends the commas at the ends of names.
func sentence(s string) string {
	s = commas.Replace(s)
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

var commas = strings.NewReplacer(",,", ",", ",.", ".")
