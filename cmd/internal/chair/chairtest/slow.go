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
	now := s.Local.State()
	ahead, err := s.Again(s.Events())
	if len(s.sent) == 0 || err != nil {
		return now
	}
	for _, one := range s.sent {
		switch one.Action.Do {
		case sitting.Ask, sitting.Note, sitting.Explain, sitting.End: // change nothing that hangs or stands
		default:
			_, _ = ahead.Do(one.Action) // what is refused will be
		}
	}
	then := ahead.State()
	now.Frames, now.Covered, now.Pointer, now.Size = then.Frames, then.Covered, then.Pointer, then.Size
	if now.Chart != then.Chart {
		now.Chart, now.Rows = then.Chart, nil
	}
	return now
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
