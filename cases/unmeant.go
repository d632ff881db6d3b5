package cases

import (
	"slices"
	"time"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
)

// Unmeant is what an assignment allows, forbids or shows that its tutor may not have meant;
// now is when it is read. None of it makes the assignment unusable.
func (a *Assignment) Unmeant(now time.Time) (out []fact.Fact) {
	out = append(out, a.chartsLacking()...)
	out = append(out, a.questionsAdrift()...)
	if !a.Closes.IsZero() && a.At(now) == After {
		out = append(out, fact.New("assignment.unmeant.closed", "at", a.Closes.Told()))
	}
	if a.Attempts > 1 && (a.Shows == "" || a.Shows == ShowsAll) {
		out = append(out, fact.New("assignment.unmeant.shown", "n", fact.Count(a.Attempts)))
	}
	return out
}

// work is the charts that a stage of the method works with: one of the kind will do.
var work = []struct {
	stage Stage
	kind  chart.Kind
	usual chart.Name
}{
	{AtFan, chart.DialChart, chart.Fan}, {AtArrow, chart.ArrowChart, chart.Arrow},
	{AtBlocks, chart.BlockChart, chart.Blocks}, {AtSphere, chart.LetterChart, chart.Letters},
}

// chartsLacking are the charts that the method needs from where the work begins on, and that
// are left out.
func (a *Assignment) chartsLacking() (out []fact.Fact) {
	from := max(0, slices.Index(Stages(), a.Begin))
	for _, w := range work {
		has := func(c chart.Name) bool { return chart.Named(c).Kind == w.kind }
		if len(a.Charts) > 0 && slices.Index(Stages(), w.stage) >= from && !slices.ContainsFunc(a.Charts, has) {
			out = append(out, fact.New("assignment.unmeant.chart", "chart", w.usual))
		}
	}
	return out
}

// questionsAdrift are questions that no chart allowed takes, and charts whose question is
// not allowed.
func (a *Assignment) questionsAdrift() (out []fact.Fact) {
	charts := a.Charts
	if len(charts) == 0 {
		charts = chart.Names()
	}
	for _, q := range a.Questions {
		takes := func(c chart.Name) bool { return patient.QuestionOn(chart.Named(c).Kind) == q }
		if q != patient.WithLens && q != patient.OneOrTwo && !slices.ContainsFunc(charts, takes) {
			out = append(out, fact.New("assignment.unmeant.question", "question", string(q)))
		}
	}
	for _, c := range a.Charts {
		if q := patient.QuestionOn(chart.Named(c).Kind); q != "" && !a.Allowed().Question(q) {
			out = append(out, fact.New("assignment.unmeant.unasked", "chart", c, "question", string(q)))
		}
	}
	return out
}

// roomToLearn is how many times the time of an expert a student should have. The project's
// choice (no source).
const roomToLearn = 2

// Hurried is what there is to say of the time for a case whose own work takes an expert so
// long; nothing where there is enough of it.
func (a *Assignment) Hurried(title string, expert fact.Seconds) []fact.Fact {
	if a.Limit == 0 || a.Limit.Seconds() >= roomToLearn*float64(expert) {
		return nil
	}
	return []fact.Fact{fact.New("assignment.unmeant.hurried", "title", title, "limit", a.Limit, "expert", expert)}
}
