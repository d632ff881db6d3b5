package practical

import (
	"slices"
	"time"
)

// Waits has a candidate who was let in, and has begun nothing, wait until a time of the
// station's clock: the attempt begins then, and what stopped before, without a reason of
// the assessor's, interrupted nothing of it. It is kept with what comes next.
func Waits(a *Attempt, at time.Time) error {
	s, err := currentOf(a.State())
	if err != nil {
		return err
	}
	if s.open != nil || len(s.rec.Cases) > 0 {
		return notNow(a.State())
	}
	s.rec.Started, s.clock.wall = at.Round(0), at.Round(0)
	s.rec.Interruptions = slices.DeleteFunc(slices.Clone(s.rec.Interruptions), func(i Interruption) bool { return i.Reason == "" })
	a.now = s.state()
	return nil
}

// Unheard puts into the record that nothing was heard of the candidate between two times
// of the station's clock, and that the time stood still meanwhile.
func Unheard(a *Attempt, from, until time.Time) error {
	s, err := currentOf(a.State())
	if err != nil {
		return err
	}
	if s.rec.Held != nil {
		return notNow(a.State())
	}
	s.rec.Seen = from.Round(0)
	s.goOn(until)
	return a.become(s)
}

// before reports whether an interruption was over before the attempt began, which is then
// when its first case was begun.
func (r *record) before(i Interruption) bool {
	return len(r.Cases) > 0 && r.Cases[0].Begun.Equal(r.Started) && i.Between && i.Case == r.Cases[0].Case
}
