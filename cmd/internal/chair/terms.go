package chair

import (
	"time"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Terms are what an assignment asks of a sitting.
type Terms struct {
	sitting.Task
	Title     string             `json:"title"`               // of the assignment
	Charts    []chart.Name       `json:"charts,omitempty"`    // that may be hung; none: all
	Questions []patient.Question `json:"questions,omitempty"` // that may be asked; none: all
	Limit     time.Duration      `json:"limit,omitempty"`     // of real time; 0: none
	Fixed     bool               `json:"fixed,omitempty"`     // how much help there is, is not the student's choice
	Shows     cases.Shown        `json:"shows,omitempty"`     // after the end point
	Scheme    *cases.Scheme      `json:"scheme,omitempty"`    // by which it is marked; nil: as the case is
}

// TermsOf are what an assignment asks of an attempt at one of its places, from 1.
func TermsOf(h *cases.Handout, place, attempt int) *Terms {
	_, fixed := HelpOf(h.Help)
	return &Terms{
		Task:  sitting.Task{Assignment: h.ID, Place: place, Attempt: attempt, Withheld: h.Withholds()},
		Title: h.Title, Charts: h.Charts, Questions: h.Questions, Limit: h.Limit, Fixed: fixed, Shows: h.Shows, Scheme: h.Marking,
	}
}

// Marked is a case with the scheme by which a sitting of it is marked.
func (t *Terms) Marked(c *cases.Case) *cases.Case {
	if t == nil || t.Scheme == nil {
		return c
	}
	marked := *c
	marked.Marking = t.Scheme
	return &marked
}

// Allows says why an action is not allowed; nil if it is. Nil terms allow all.
func (t *Terms) Allows(a sitting.Action) error {
	if t == nil {
		return nil
	}
	return cases.Allowed{Title: t.Title, Charts: t.Charts, Questions: t.Questions}.Refuse(a)
}

// Left is how much time is left; limited reports whether there is a limit. Below zero
// it is over.
func (t *Terms) Left(spent time.Duration) (left time.Duration, limited bool) {
	if t == nil || t.Limit == 0 {
		return 0, false
	}
	return t.Limit - spent, true
}

// Shown is what may be shown after the end point.
func (t *Terms) Shown() cases.Shown {
	if t == nil || t.Shows == "" {
		return cases.ShowsAll
	}
	return t.Shows
}

// HelpOf is the help that an assignment sets; fixed is false where it leaves it to the
// student.
func HelpOf(h cases.Help) (help Help, fixed bool) {
	switch h {
	case cases.Led:
		return Led, true
	case cases.Cues:
		return Cues, true
	case cases.Alone:
		return Alone, true
	}
	return Alone, false
}
