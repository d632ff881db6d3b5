package scoring

import (
	"slices"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Moment is how things stood for the tested eye after one event. All powers are
// in dioptres; the residual is at the cornea, relaxed, positive in front of the
// retina, and against the clinical error, so that the end point leaves none.
type Moment struct {
	Event         int             `json:"event"`
	Step          int             `json:"step"`    // that it is; or the one that it follows, where it does not count as one; 0 before the first
	Seconds       fact.Seconds    `json:"seconds"` // simulated, when the event was over
	Worn          optics.Rx       `json:"worn"`    // what is told to be worn (optics.Frame.Told), to a hundredth
	Power         Residual        `json:"power"`   // the same as a power vector
	Residual      Residual        `json:"residual"`
	Front         Line            `json:"front"`
	Back          Line            `json:"back"`
	Fog           fact.Power      `json:"fog"` // where the back line would stand with the worn sphere alone
	Accommodation fact.Amount     `json:"accommodation"`
	Chart         chart.Name      `json:"chart,omitempty"`
	Action        sitting.Action  `json:"action"`
	Answer        *patient.Answer `json:"answer,omitempty"`
}

// Line is a focal line of the residual.
type Line struct {
	Power fact.Power   `json:"power"` // in front of the retina
	Angle fact.Degrees `json:"angle"` // in standard notation
}

// pathOf has a moment for every event of a sitting.
func pathOf(t *trace) []Moment {
	out := []Moment{}
	events := make([]sitting.Event, 0, len(t.moments))
	for _, m := range t.moments[1:] {
		events = append(events, m.Event)
	}
	steps := sitting.StepsAfter(events)
	for i := 1; i < len(t.moments); i++ {
		m := &t.moments[i]
		worn := m.frame.Told(t.setup.Room.Distance)
		left := behind(t, worn)
		front, back := left.FocalLines()
		out = append(out, Moment{
			Event: m.N, Step: steps[i-1], Seconds: fact.Seconds(m.At),
			Worn: worn.Round(0.01), Power: vector(worn.Power()), Residual: vector(left),
			Front: line(front), Back: line(back), Fog: fact.Power(tidy(m.fog)),
			Accommodation: fact.Amount(m.Accommodation), Chart: m.State.Chart,
			Action: m.Action, Answer: m.Answer,
		})
	}
	return out
}

func line(l optics.FocalLine) Line {
	return Line{fact.Power(tidy(l.Power)), fact.Degrees(tidy(l.Angle))}
}

// Step is the number of the step that an event is, or that it follows where it does
// not count as one: what people are told of an event. Before the first step it is 1.
func (r *Report) Step(event int) int {
	if event < 1 || event > len(r.Path) {
		return 1
	}
	return max(1, r.Path[event-1].Step)
}

// Steps are the numbers of the steps of some events, each once.
func (r *Report) Steps(events fact.Events) fact.Events {
	var out fact.Events
	for _, n := range events {
		out = append(out, r.Step(n))
	}
	slices.Sort(out)
	return slices.Compact(out)
}
