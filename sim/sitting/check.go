package sitting

import (
	"slices"
	"strings"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// hasEye tells whether a verb is about one eye.
func (v Verb) hasEye() bool {
	switch v {
	case Put, Take, Exchange, Turn, Hold, Lower, Cover, Uncover:
		return true
	}
	return false
}

// Questions are those that make sense for the chart in view.
func (s *Sitting) Questions() []patient.Question {
	own := map[ChartName]patient.Question{
		Fan: patient.WhichLines, Clock: patient.WhichLines, Sunburst: patient.WhichLines,
		Arrow: patient.WhichLimb, Blocks: patient.WhichBlock,
		Letters: patient.ReadLetters, Letter: patient.ReadLetters, Duochrome: patient.WhichColour,
	}
	q, ok := own[s.state.Chart]
	if !ok {
		return nil
	}
	out := []patient.Question{q}
	if s.holding() {
		out = append(out, patient.WithLens)
	}
	if s.lensChanged {
		out = append(out, patient.OneOrTwo)
	}
	return out
}

// holding tells whether a lens is held up before an eye.
func (s *Sitting) holding() bool {
	return s.state.Frames[0].Held != (optics.Lens{}) || s.state.Frames[1].Held != (optics.Lens{})
}

// check refuses an action that makes no sense now, and fills in what was left
// to be understood: which cell, which axis.
func (s *Sitting) check(a Action) (Action, error) {
	if a.Eye != "" && a.Eye != Right && a.Eye != Left {
		return a, refuse("there is no eye %q: write right or left", a.Eye)
	}
	switch a.Do {
	case Put, Take, Exchange, Turn:
		if a.OldFirst && a.NewFirst {
			return a, refuse("either the old lens comes out first or the new one goes in first, not both")
		}
		return s.checkCell(a)
	case Hold:
		return s.checkHold(a)
	case Lower:
		if s.state.Frames[a.Eye.Index()].Held == (optics.Lens{}) {
			return a, refuse("no lens is held up before the %s eye", a.Eye)
		}
	case Cover, Uncover:
		if s.state.Covered[a.Eye.Index()] == (a.Do == Cover) {
			return a, refuse("the %s eye is %s already", a.Eye, map[Verb]string{Cover: "covered", Uncover: "open"}[a.Do])
		}
	case Show:
		return s.checkShow(a)
	case Point:
		return s.checkPoint(a)
	case Ask:
		return s.checkAsk(a)
	case Note:
		a.Text = strings.TrimSpace(a.Text)
		if !slices.Contains(Fields(), a.Field) {
			return a, refuse("the record card has no %q: it has %s", a.Field, fieldsText())
		}
		if a.Text == "" || len(a.Text) > 200 {
			return a, refuse("an entry on the record card has 1 to 200 characters")
		}
	case End:
		return checkState(a)
	case Explain:
	default:
		return a, refuse("there is no action %q", a.Do)
	}
	return a, nil
}

func (s *Sitting) checkShow(a Action) (Action, error) {
	switch a.Chart {
	case Fan, Clock, Sunburst, Arrow, Blocks, Letters, Duochrome:
		a.Size = nil
	case Letter:
		if a.Size == nil {
			size := 0.3
			a.Size = &size
		}
		if !isRow(*a.Size) {
			return a, refuse("there is no letter of size %.2f logMAR: sizes go from 1.0 down to -0.3 in steps of 0.1", *a.Size)
		}
	default:
		return a, refuse("there is no chart %q: there are fan, clock, sunburst, arrow, blocks, letters, letter and duochrome", a.Chart)
	}
	return a, nil
}

func isRow(size float64) bool {
	return slices.ContainsFunc(chart.RowSizes(), func(v float64) bool { return v > size-1e-6 && v < size+1e-6 })
}

func (s *Sitting) checkPoint(a Action) (Action, error) {
	if s.state.Chart != Arrow && s.state.Chart != Blocks {
		return a, refuse("no arrow is in view: show the arrow or the blocks first")
	}
	if a.Axis < 1 || a.Axis > 180 {
		return a, refuse("the arrow cannot point to %d: labels go from 1 to 180", a.Axis)
	}
	return a, nil
}

func (s *Sitting) checkAsk(a Action) (Action, error) {
	can := s.Questions()
	if s.state.Chart == NoChart {
		return a, refuse("no chart is shown: show one before you ask")
	}
	if !slices.Contains(can, a.Question) {
		switch a.Question {
		case patient.WithLens:
			return a, refuse("no lens is held up: hold one up to ask whether it is clearer with it")
		case patient.OneOrTwo:
			return a, refuse("no lens was changed yet: there is nothing to compare with")
		}
		return a, refuse("the question %q makes no sense for the chart %q in view: ask %s", a.Question, s.state.Chart, words(can))
	}
	if len(a.Leading) > 40 {
		return a, refuse("what is put into the patient's mouth is one of the answers, such as parallel or 30")
	}
	if a.Size != nil && (a.Question != patient.ReadLetters || s.state.Chart != Letters || !isRow(*a.Size)) {
		return a, refuse("a row can be named only when the letters are shown, from 1.0 down to -0.3 logMAR in steps of 0.1")
	}
	return a, nil
}

func words(q []patient.Question) string {
	var out []string
	for _, v := range q {
		out = append(out, string(v))
	}
	return strings.Join(out, " or ")
}

func fieldsText() string {
	var out []string
	for _, f := range Fields() {
		out = append(out, string(f))
	}
	return strings.Join(out, ", ")
}

// checkState checks that the end point is what can be written down.
func checkState(a Action) (Action, error) {
	if a.Rx == nil {
		return a, refuse("which correction? write it as -1.00/-2.00x30")
	}
	if rx, err := optics.ParseRx(a.Rx.ASCII()); err != nil || rx != *a.Rx {
		return a, refuse("%v is no correction", *a.Rx)
	}
	if a.Acuity != (patient.Acuity{}) {
		if v, err := patient.ParseAcuity(a.Acuity.Written); err != nil || v != a.Acuity {
			return a, refuse("%q is not the acuity %.2f logMAR", a.Acuity.Written, a.Acuity.LogMAR)
		}
	}
	return a, nil
}
