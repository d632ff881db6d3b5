package bench

import (
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// Status is what is on the screen, for tests and for assistive technology.
type Status struct {
	Screen string     `json:"screen"` // home, bench, result
	Busy   bool       `json:"busy"`
	Steps  int        `json:"steps"`
	Events int        `json:"events"`
	Said   string     `json:"said"`   // by the patient, last
	Notice string     `json:"notice"` // what was refused
	Frame  string     `json:"frame"`  // of the tested eye, as a prescription
	Things []ui.Thing `json:"things"`
}

// Status tells what is on the screen.
func (a *App) Status() Status {
	s := Status{
		Screen: []string{"home", "bench", "result", "practical"}[a.screen],
		Busy:   a.later != nil, Notice: a.notice, Things: a.ui.Things(),
	}
	if t := a.seat; t != nil {
		s.Steps, s.Events = t.s.Steps().Total(), len(t.s.Events())
		s.Frame = t.s.State().Frames[t.tested().Index()].Prescription().ASCII()
		for _, l := range t.talk {
			if l.e.Answer != nil {
				s.Said = a.said(l)
			}
		}
	}
	return s
}

// Events is the log of the sitting so far, for tests.
func (s Status) Find(label string) (paper.Rect, bool) {
	for _, t := range s.Things {
		if t.Label == label && !t.Behind {
			return t.Rect, true
		}
	}
	return paper.Rect{}, false
}
