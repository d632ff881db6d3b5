package sitting

import (
	"slices"
	"strings"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// mostEntry is how long an entry on the record card can be, in bytes.
const mostEntry = 200

// hasEye tells whether a verb is about one eye.
func (v Verb) hasEye() bool {
	switch v {
	case Put, Take, Exchange, Turn, Hold, Lower, Cover, Uncover:
		return true
	}
	return false
}

// Questions are those that make sense for the chart in view.
func (b *Bench) Questions() []patient.Question {
	q := patient.QuestionOn(b.state.shown().Kind)
	if q == "" {
		return nil
	}
	out := []patient.Question{q}
	if b.holding() {
		out = append(out, patient.WithLens)
	}
	if b.changes > 0 {
		out = append(out, patient.OneOrTwo)
	}
	return out
}

// holding tells whether a lens is held up before an eye.
func (b *Bench) holding() bool {
	return b.state.Frames[0].Held != (optics.Lens{}) || b.state.Frames[1].Held != (optics.Lens{})
}

// check refuses an action that makes no sense now, and fills in what was left
// to be understood: which cell, which axis.
func (b *Bench) check(a Action) (Action, error) {
	if a.Eye != "" && a.Eye != Right && a.Eye != Left {
		return a, refuse(fact.New("sitting.no-eye", "text", string(a.Eye)))
	}
	switch a.Do {
	case Put, Take, Exchange, Turn:
		if a.OldFirst && a.NewFirst {
			return a, refuse(fact.New("sitting.one-first"))
		}
		return b.checkCell(a)
	case Hold:
		return b.checkHold(a)
	case Lower:
		if b.state.Frames[a.Eye.Index()].Held == (optics.Lens{}) {
			return a, refuse(fact.New("sitting.not-held", "eye", a.Eye))
		}
	case Cover, Uncover:
		if b.state.Covered[a.Eye.Index()] == (a.Do == Cover) {
			if a.Do == Cover {
				return a, refuse(fact.New("sitting.covered", "eye", a.Eye))
			}
			return a, refuse(fact.New("sitting.open", "eye", a.Eye))
		}
	case Show:
		return b.checkShow(a)
	case Point:
		return b.checkPoint(a)
	case Ask:
		return b.checkAsk(a)
	case Note:
		a.Text = strings.TrimSpace(a.Text)
		if !slices.Contains(Fields(), a.Field) {
			return a, refuse(fact.New("sitting.no-field", "text", string(a.Field), "fields", Fields()))
		}
		if a.Text == "" || len(a.Text) > mostEntry {
			return a, refuse(fact.New("sitting.entry-length", "most", fact.Count(mostEntry)))
		}
	case End:
		return checkState(a)
	case Explain:
	default:
		return a, refuse(fact.New("sitting.no-action", "text", string(a.Do)))
	}
	return a, nil
}

func (b *Bench) checkShow(a Action) (Action, error) {
	c := chart.Named(a.Chart)
	switch {
	case c.Name == chart.NoChart:
		return a, refuse(fact.New("sitting.no-chart", "text", string(a.Chart), "charts", chart.Names()))
	case !c.Sized:
		a.Size = nil
	case a.Size == nil:
		size := usualSize
		a.Size = &size
	case !isRow(*a.Size):
		return a, refuse(fact.New("sitting.no-letter", "size", fact.Number(*a.Size)))
	}
	return a, nil
}

// usualSize is the size of a single letter of which none was named, logMAR.
const usualSize = 0.3

func isRow(size float64) bool {
	return slices.ContainsFunc(chart.RowSizes(), func(v float64) bool { return v > size-1e-6 && v < size+1e-6 })
}

func (b *Bench) checkPoint(a Action) (Action, error) {
	if !b.state.shown().Pointed {
		return a, refuse(fact.New("sitting.no-arrow"))
	}
	if a.Axis < 1 || a.Axis > 180 {
		return a, refuse(fact.New("sitting.no-label", "label", fact.Degrees(a.Axis)))
	}
	return a, nil
}

func (b *Bench) checkAsk(a Action) (Action, error) {
	can := b.Questions()
	if b.state.Chart == chart.NoChart {
		return a, refuse(fact.New("sitting.nothing-shown"))
	}
	if !slices.Contains(can, a.Question) {
		switch a.Question {
		case patient.WithLens:
			return a, refuse(fact.New("sitting.nothing-held"))
		case patient.OneOrTwo:
			return a, refuse(fact.New("sitting.nothing-changed"))
		}
		if !slices.Contains(patient.Questions(), a.Question) {
			return a, refuse(fact.New("sitting.no-question", "text", string(a.Question), "chart", b.state.Chart, "questions", can))
		}
		return a, refuse(fact.New("sitting.other-question", "question", a.Question, "chart", b.state.Chart, "questions", can))
	}
	if len(a.Leading) > 40 {
		return a, refuse(fact.New("sitting.leading"))
	}
	if a.Size != nil && (a.Question != patient.ReadLetters || !b.state.shown().HasRows() || !isRow(*a.Size)) {
		return a, refuse(fact.New("sitting.no-row"))
	}
	return a, nil
}

// checkState checks that the end point is what can be written down.
func checkState(a Action) (Action, error) {
	if a.Rx == nil {
		return a, refuse(fact.New("sitting.which-correction"))
	}
	if rx, err := optics.ParseRx(a.Rx.ASCII()); err != nil || rx != *a.Rx {
		return a, refuse(fact.New("sitting.no-correction", "rx", *a.Rx))
	}
	if a.Acuity != (patient.Acuity{}) {
		if v, err := patient.ParseAcuity(a.Acuity.Written); err != nil || v != a.Acuity {
			return a, refuse(fact.New("sitting.other-acuity", "text", a.Acuity.Written, "logmar", fact.Number(a.Acuity.LogMAR)))
		}
	}
	return a, nil
}
