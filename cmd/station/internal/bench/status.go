package bench

import (
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// homeName is the name of the screen with the patients.
const homeName = "home"

// Status is what is on the screen, for tests and for assistive technology.
type Status struct {
	Screen   string     `json:"screen"`   // home, bench, result, practical, in the chair
	Language string     `json:"language"` // of all that is said here
	Busy     bool       `json:"busy"`
	Steps    int        `json:"steps"`
	Events   int        `json:"events"`
	Said     string     `json:"said"`    // by the patient, last
	Answers  int        `json:"answers"` // number of the event in which that was said
	Notice   string     `json:"notice"`  // what was refused
	Refused  string     `json:"refused"` // in the part in front, besides
	Field    string     `json:"field"`   // that is written in
	Frame    string     `json:"frame"`   // of the tested eye, as a prescription
	Things   []ui.Thing `json:"things"`
}

// Status tells what is on the screen.
func (a *App) Status() Status {
	v := a.desk.Voice()
	s := Status{
		Screen: a.screen.Name(), Language: v.Language, Busy: a.desk.Work.Busy(), Notice: a.desk.Notice.Text(v), Things: a.desk.UI.Things(),
	}
	s.Refused, s.Field = inFront(s.Things, s.Notice)
	if seated, is := a.screen.(desk.Seated); is {
		p := seated.Patient(v)
		s.Steps, s.Events, s.Said, s.Answers, s.Frame = p.Steps, p.Events, p.Said, p.Answers, p.Frame
	}
	return s
}

// Find is the place of a thing by its label.
func (s Status) Find(label string) (paper.Rect, bool) {
	for _, t := range s.Things {
		if t.Label == label && !t.Behind {
			return t.Rect, true
		}
	}
	return paper.Rect{}, false
}
