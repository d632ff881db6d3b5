package asked

import (
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/retina"
	"conoid/sim/sitting"
)

// unanswered stops the expert at a question that was not answered yet.
type unanswered struct{ asks sitting.Action }

func (u unanswered) Error() string { return u.asks.Question.Name() }

// dictated is a chair in which the answers are given beforehand, one for each
// question in turn.
type dictated struct {
	bench *sitting.Bench
	given []patient.Answer
	acts  []sitting.Action // that were done
}

// Do implements expert.Chair.
func (c *dictated) Do(a sitting.Action) (sitting.Event, error) {
	a, err := c.bench.Do(a)
	if err != nil {
		return sitting.Event{}, err
	}
	e := sitting.Event{N: len(c.acts) + 1, Action: a}
	if a.Do == sitting.Ask {
		if len(c.given) == 0 {
			return sitting.Event{}, unanswered{a}
		}
		e.Answer = &c.given[0]
		c.given = c.given[1:]
	}
	c.acts = append(c.acts, a)
	return e, nil
}

// State implements expert.Chair.
func (c *dictated) State() sitting.State { return c.bench.State() }

// Glimpse is what the eye that is tested made of the light at one moment. It knows
// nothing of any other, so that it can be looked at later.
type Glimpse struct {
	seen  patient.Sight
	open  bool
	focus float64 // accommodation, dioptres
	frame optics.Frame
}

// glimpse is what it makes of it now.
func (x *Examination) glimpse() Glimpse {
	g := Glimpse{frame: x.Frame(), focus: x.patient.Accommodation()}
	g.seen, g.open = x.patient.Sees(x.setup.Tested, g.frame)
	return g
}

// Sees is what the eye made of the light, whichever is asked for: the other one is
// covered.
func (g Glimpse) Sees(sitting.Side, optics.Frame) (patient.Sight, bool) { return g.seen, g.open }

// Accommodation is how much the eye accommodated, dioptres.
func (g Glimpse) Accommodation() float64 { return g.focus }

// Frame is what it looked through.
func (g Glimpse) Frame() optics.Frame { return g.frame }

// kept is how clear the two marks of a question were, each by itself; nil where no two
// are compared.
func (q Question) kept(r *retina.Renderer) []float64 {
	marks := chart.Named(q.State.Chart).Marks(chart.Hung{Pointer: float64(q.State.Pointer)})
	eyes := []*patient.Look{q.Now.seen.Look(r)}
	switch q.Action.Question {
	case patient.WhichLimb, patient.WhichBlock:
		return []float64{eyes[0].Clarity(marks[0], chart.White), eyes[0].Clarity(marks[1], chart.White)}
	case patient.WhichColour:
		return []float64{patient.Ring(eyes, marks[0], chart.Red), patient.Ring(eyes, marks[1], chart.Green)}
	}
	return nil
}
