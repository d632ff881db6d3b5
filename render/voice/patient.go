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
	says := speaker{v, a.Variant}
	switch {
	case a.First != "":
		first, then := a, a
		first.Kind, first.First, first.Variant, then.First = a.First, "", a.Variant>>8, ""
		return says.phrase("waver.any", "first", v.Answer(first, labels, name), "then", v.Answer(then, labels, name))
	case a.Kind == patient.Lines && len(a.Lines) > 0:
		return namer{says, labels, name}.say(a.Lines)
	case a.Kind == patient.Read && len(a.Rows) > 0:
		return says.rows(a.Rows, name)
	case a.Kind == patient.Alike:
		return says.phrase("alike." + judged(name))
	case a.Kind == patient.Blurred:
		return says.phrase("blurred." + judged(name))
	}
	return says.phrase(keys[a.Kind])
}

// keys are the phrases for the answers that are the same on every chart.
var keys = map[patient.Kind]string{
	patient.Unsure:        "unsure.any",
	patient.Changing:      "changing.any",
	patient.Again:         "again.any",
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

// speaker is somebody in the room who speaks. The variant decides the wording.
type speaker struct {
	voice   Voice
	variant uint32
}

// phrase chooses a phrase and fills in its words, given in pairs of a name and
// what stands for it. What nobody has words for is met with a shrug: a sitting
// goes on.
func (s speaker) phrase(key string, pairs ...any) string {
	f := fact.New("say."+key, pairs...)
	if !s.voice.Has(f.ID) {
		f.ID = "say.unsure.any"
	}
	return s.voice.way(f, s.variant)
}

// spoken begins with a capital, and mends the commas at the ends of names.
func (s speaker) spoken(text string) string { return s.voice.Capital(commas.Replace(text)) }

var commas = strings.NewReplacer(",,", ",", ",.", ".")
