package cases

import (
	"errors"
	"slices"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Allowed is what an assignment leaves of charts and questions; where it names none, all.
type Allowed struct {
	Title     string // of the assignment
	Charts    []chart.Name
	Questions []patient.Question
}

// Allowed is what the assignment leaves of charts and questions.
func (a *Assignment) Allowed() Allowed { return Allowed{a.Title, a.Charts, a.Questions} }

// Chart reports whether a chart may be hung. The wall may always be bare.
func (a Allowed) Chart(c chart.Name) bool {
	return c == chart.NoChart || len(a.Charts) == 0 || slices.Contains(a.Charts, c)
}

// Question reports whether a question may be asked.
func (a Allowed) Question(q patient.Question) bool {
	return len(a.Questions) == 0 || slices.Contains(a.Questions, q)
}

// Refuse says why an action is not allowed; nil if it is.
func (a Allowed) Refuse(act sitting.Action) error {
	switch {
	case act.Do == sitting.Show && !a.Chart(act.Chart):
		return &sitting.Refusal{Fact: fact.New("task.no-chart", "chart", act.Chart, "title", a.Title)}
	case act.Do == sitting.Ask && !a.Question(act.Question):
		return &sitting.Refusal{Fact: fact.New("task.no-question", "question", act.Question, "title", a.Title)}
	}
	return nil
}

// Barred is why an action was not allowed by an assignment, where that is what an error
// comes from.
func Barred(err error) (why fact.Fact, is bool) {
	var r *sitting.Refusal
	if errors.As(err, &r) && (r.ID == "task.no-chart" || r.ID == "task.no-question") {
		return r.Fact, true
	}
	return fact.Fact{}, false
}
