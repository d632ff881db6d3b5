package room

import (
	"time"

	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// Grant gives a candidate more time, for the case under way or else the next one.
func (o *Office) Grant(candidate string, more time.Duration, who, reason string, now time.Time) error {
	return o.rule(Note{Who: who, Do: Granted, Candidate: candidate, Reason: reason, Time: more}, now, func(s *seat) error {
		return s.attempt.Grant(more, reason, s.time.now())
	})
}

// End closes the place of a candidate: the case under way is handed in as it stands, and
// nothing comes after it.
func (o *Office) End(candidate, who, reason string, now time.Time) error {
	return o.rule(Note{Who: who, Do: Ended, Candidate: candidate, Reason: reason}, now, func(s *seat) error {
		return s.end(reason)
	})
}

// placeOf is the seat of a candidate, while something can be done there.
func placeOf(r *Room, candidate string) (*seat, error) {
	s := r.of(practical.Candidate(candidate))
	switch {
	case s == nil:
		return nil, ErrNobody
	case r.Stage().Over():
		return nil, ErrStage
	}
	return s, nil
}

// rule has something done to the attempt of a candidate who was let in.
func (o *Office) rule(n Note, now time.Time, do func(*seat) error) error {
	if err := o.r.begin(); err != nil {
		return err
	}
	defer o.r.deeds.Unlock()
	n.Candidate = practical.Candidate(n.Candidate)
	s, err := placeOf(o.r, n.Candidate)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return o.deed(n, now, []*seat{s}, func(s *seat) error {
		if err := s.count(); err != nil {
			return err
		}
		return do(s)
	})
}

// end closes the attempt of a candidate who was let in and is not through.
func (s *seat) end(reason string) error {
	if !s.attempt.sits() {
		return ErrStage
	}
	if err := stood(s); err != nil {
		return err
	}
	s.time.lost = 0
	return s.attempt.Close(reason, s.time.wall)
}

// Pause has the time of one candidate stand still, who can do nothing until [Office.GoOn],
// through a new ticket and a restart of the service.
func (o *Office) Pause(candidate, who, reason string, now time.Time) error {
	return o.rule(Note{Who: who, Do: Paused, Candidate: candidate, Reason: reason}, now, func(s *seat) error {
		switch {
		case !s.attempt.sits():
			return ErrStage
		case s.attempt.paused():
			return ErrPaused
		}
		if err := stood(s); err != nil {
			return err
		}
		return s.attempt.Hold(reason, s.time.wall)
	})
}

// ErrPaused says that a candidate's time stands still already.
var ErrPaused error = fact.Refuse("host.paused")

// GoOn has the time of a candidate run again that stood still.
func (o *Office) GoOn(candidate, who string, now time.Time) error {
	return o.rule(Note{Who: who, Do: WentOn, Candidate: candidate}, now, func(s *seat) error {
		if !s.attempt.paused() {
			return ErrStage
		}
		return s.attempt.GoOn(s.time.wall)
	})
}

// resume has the time run again for everybody. That it stood still, and why, is in each
// record from then on. All places wait until that is kept.
func resume(o *Office, n Note, now time.Time) error {
	all, unlock := o.r.locked()
	defer unlock()
	return o.r.enter(Open, now, n, all, func(s *seat) error {
		if err := s.count(); err != nil || !s.attempt.sits() {
			return err
		}
		return stood(s)
	})
}

// begins opens the practical. Who was let in before waited until now.
func begins(o *Office, n Note, now time.Time) error {
	all, unlock := o.r.locked()
	defer unlock()
	return o.r.enter(Open, now, n, all, func(s *seat) error {
		if !s.attempt.sits() {
			return nil
		}
		if !s.attempt.paused() || now.After(s.time.wall) {
			s.time.wall = now.Round(0)
		}
		return s.count()
	})
}

// shut closes the practical, and hands in what is under way, as it stands. All places wait
// until everything is kept, which is one write: a thousand would have them wait for a
// thousand commits.
func shut(o *Office, n Note, now time.Time) error {
	all, unlock := o.r.locked()
	defer unlock()
	return o.r.enter(Closed, now, n, all, func(s *seat) error {
		if err := s.count(); err != nil || !s.attempt.sits() {
			return err
		}
		return s.end(n.Reason)
	})
}
