// Package chairtest has chairs and logs that are late or fail, to test faces
// with.
package chairtest

import (
	"conoid/cmd/internal/chair"
	"conoid/sim/sitting"
)

// Slow is a chair as it is when the patient is elsewhere: actions stay on their
// way until a test lets the oldest arrive, or be lost.
type Slow struct {
	*chair.Local
	sent []sent
}

type sent struct {
	*chair.Pending
	aside sitting.Aside
}

// Do sends an action on its way.
func (s *Slow) Do(a sitting.Action, aside sitting.Aside) *chair.Pending {
	p := chair.Sent(a)
	s.sent = append(s.sent, sent{p, aside})
	return p
}

// Pending are the actions on their way.
func (s *Slow) Pending() []*chair.Pending {
	var out []*chair.Pending
	for _, one := range s.sent {
		out = append(out, one.Pending)
	}
	return out
}

// State has what is on its way in it, as far as it shows: lenses, covers and
// charts.
func (s *Slow) State() sitting.State {
	now, then := s.Local.State(), s.ahead().State()
	then.Seconds, then.Card = now.Seconds, now.Card
	return then
}

// ahead is a bench on which all that is on its way is done already. What it
// knows is what came from the patient's side: what was told, and what is known
// to have happened.
func (s *Slow) ahead() *sitting.Bench {
	told := s.Brief()
	b := sitting.NewBench(told.Tested, told.Objective, told.Room)
	for _, e := range s.Events() {
		_, _ = b.Do(e.Action) // it was accepted there
		b.Clock(e.At)
	}
	b.Hang(s.Local.State().Rows)
	for _, one := range s.sent {
		_, _ = b.Do(one.Action) // what is refused here will be there
	}
	return b
}

// Arrive lets the oldest action be done, and its answer come back.
func (s *Slow) Arrive() {
	first := s.next()
	first.Decide(s.Local.Do(first.Action, first.aside).Wait())
}

// Lose lets the oldest action come to nothing.
func (s *Slow) Lose(why error) { s.next().Decide(chair.Told{}, why) }

func (s *Slow) next() sent {
	first := s.sent[0]
	s.sent = s.sent[1:]
	return first
}
