package talk

import (
	"regexp"
	"strconv"

	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/guide"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Who is the patient's name.
func Who(v voice.Voice, b chair.Brief) string {
	if b.Name == "" {
		return v.Text("bench.patient")
	}
	return b.Name
}

// Patient is who sits there, and why.
func Patient(v voice.Voice, b chair.Brief) string {
	return v.Text("bench.talk.patient", "name", Who(v, b), "age", fact.Degrees(b.Age), "symptoms", b.In(v.Language).Symptoms)
}

// Of is the talk so far.
func Of(v voice.Voice, b chair.Brief, told []chair.Told) View {
	t := View{Who: b.Name, Intro: []Line{
		{Patient(v, b), ui.Body, nil},
		{v.Text("bench.talk.objective", "eye", v.Text("eye."+string(b.Tested)), "rx", b.Objective[b.Tested.Index()]), ui.Quiet, nil},
		{v.Text("caution"), ui.Note, nil},
	}}
	answers := 0
	for _, l := range told {
		t.Entries = append(t.Entries, entry(v, b, l))
		if l.Event.Answer != nil {
			answers++
			t.Last = answer(v, b, l, answers)
		}
	}
	return t
}

// answer is what was said to a question, the n-th.
func answer(v voice.Voice, b chair.Brief, t chair.Told, n int) *Answer {
	f := t.After.Frames[b.Tested.Index()]
	a := &Answer{
		Asked:  v.Text("bench.talk.you", "question", v.Examiner().Question(t.Event.Action, t.After.Chart)),
		Said:   v.Text("bench.talk.quoted", "answer", Answered(v, b, t)),
		Behind: v.Text("bench.talk.behind", "n", fact.Count(n), "rx", f.Prescription()),
	}
	if f.Held != (optics.Lens{}) {
		a.Behind = v.Text("bench.talk.behind.held", "n", fact.Count(n), "rx", f.Prescription(), "lens", f.Held)
	}
	a.Guessed = guessed(v, b, t.Event)
	return a
}

// guessed is what the student expected to hear, and how that compares with what was said.
func guessed(v voice.Voice, b chair.Brief, e sitting.Event) string {
	if e.Aside == nil {
		return ""
	}
	return compared(v, e.Aside.Predicted, *e.Answer, b.Room.Labels)
}

// cells are parted by more than one blank.
var cells = regexp.MustCompile(`\s{2,}`)

// entry is what is told of one event.
func entry(v voice.Voice, b chair.Brief, t chair.Told) Entry {
	e := t.Event
	if e.Answer == nil {
		return Entry{{v.Done(e, t.After, b.Room), ui.Note, nil}}
	}
	out := Entry{{v.Text("bench.talk.you", "question", v.Examiner().Question(e.Action, t.After.Chart)), ui.Quiet, nil}}
	if text := guessed(v, b, e); text != "" {
		out = append(out, Line{text, ui.Note, nil})
	}
	out = append(out, Line{v.Text("bench.talk.said", "name", Who(v, b), "answer", Answered(v, b, t)), ui.Strong, nil})
	for _, row := range v.Rows(*e.Answer) {
		out = append(out, Line{row, ui.Small, cells.Split(row, -1)})
	}
	return out
}

// Answered is the answer of an event.
func Answered(v voice.Voice, b chair.Brief, t chair.Told) string {
	return v.Answer(*t.Event.Answer, b.Room.Labels, t.After.Chart)
}

// AdviceOf is the guide's advice in words.
func AdviceOf(v voice.Voice, ad guide.Advice) Advice {
	out := Advice{
		Head: v.Text("advice.step", "n", fact.Count(ad.Stage), "all", fact.Count(guide.Stages), "title", ad.Title),
		Text: v.Say(ad.Text), Stage: ad.Stage, Title: v.Say(ad.Title),
	}
	for _, act := range ad.Do {
		step := Step{Label: v.Examiner().Action(act), Wish: wish.Soon{Action: act}}
		switch act.Do {
		case sitting.Ask:
			step.Wish = wish.Ask{Question: act.Question, Size: act.Size}
		case sitting.End:
			step.Wish, out.States = wish.Show{Sheet: wish.EndPoint}, true
		}
		out.Steps = append(out.Steps, step)
	}
	return out
}

// Asked is a question as a button says it.
func Asked(v voice.Voice, q patient.Question) string {
	return v.Examiner().Asking(sitting.Action{Do: sitting.Ask, Question: q})
}

// Answers are what a question can be answered with, and led to.
func Answers(q patient.Question) []string {
	switch q {
	case patient.WhichLines:
		out := []string{string(patient.Alike)}
		for label := 10; label <= 180; label += 10 {
			out = append(out, strconv.Itoa(label))
		}
		return out
	case patient.WhichLimb:
		return []string{string(patient.Left), string(patient.Right), string(patient.Alike)}
	case patient.WhichBlock:
		return []string{string(patient.Parallel), string(patient.Perpendicular), string(patient.Alike)}
	case patient.WhichColour:
		return []string{string(patient.RedClearer), string(patient.GreenClearer), string(patient.Alike)}
	case patient.WithLens, patient.OneOrTwo:
		return []string{string(patient.Better), string(patient.Worse), string(patient.Smaller), string(patient.Same)}
	}
	return nil
}
