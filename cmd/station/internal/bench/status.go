package bench

import (
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// The names of the screens with the patients, and with what a sitting came to.
const (
	homeName   = "home"
	resultName = "result"
)

// Status is what is on the screen, for tests and for assistive technology.
type Status struct {
	Screen   string     `json:"screen"`   // home, bench, result, practical, in the chair
	Language string     `json:"language"` // of all that is said here
	Busy     bool       `json:"busy"`
	Steps    int        `json:"steps"`
	Events   int        `json:"events"`
	Said     string     `json:"said"`    // by the patient, last
	Answers  int        `json:"answers"` // number of the event in which that was said
	Notice   string     `json:"notice"`  // what was refused, or told
	Refused  string     `json:"refused"` // in the part in front, besides
	Field    string     `json:"field"`   // that is written in
	Frame    string     `json:"frame"`   // of the tested eye, as a prescription
	Came     string     `json:"came"`    // what the sitting came to, on the screen that shows it
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
	if s.Screen == resultName {
		s.Came = headline(s.Things)
	}
	return s
}

// headline is what a screen is about.
func headline(things []ui.Thing) string {
	for _, t := range things {
		if t.Level == 1 && t.Layer == 0 {
			return t.Label
		}
	}
	return ""
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
