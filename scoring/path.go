package scoring

import (
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
	for i := 1; i < len(t.moments); i++ {
		m := &t.moments[i]
		worn := m.frame.Told(t.setup.Room.Distance)
		left := behind(t, worn)
		front, back := left.FocalLines()
		out = append(out, Moment{
			Event: m.N, Seconds: fact.Seconds(m.At),
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
