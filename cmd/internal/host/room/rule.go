package room

import (
	"time"

	"conoid/scoring/practical"
)

// Grant gives a candidate more time, for the case under way or else the next one.
func (o *Office) Grant(candidate string, more time.Duration, who, reason string, now time.Time) error {
	return o.rule(Note{Who: who, Do: Granted, Candidate: candidate, Reason: reason, Time: more}, now, func(s *seat) error {
		return s.attempt.Grant(more, reason, s.time.wall)
	})
}

// End closes the place of a candidate: the case under way is handed in as it stands, and
// nothing comes after it.
func (o *Office) End(candidate, who, reason string, now time.Time) error {
	return o.rule(Note{Who: who, Do: Ended, Candidate: candidate, Reason: reason}, now, func(s *seat) error {
		return s.end(reason)
	})
}

// rule has something done to the attempt of a candidate who was let in.
func (o *Office) rule(n Note, now time.Time, do func(*seat) error) error {
	o.r.deeds.Lock()
	defer o.r.deeds.Unlock()
	n.Candidate = practical.Candidate(n.Candidate)
	s := o.r.of(n.Candidate)
	if s == nil {
		return ErrNobody
	}
	if o.r.Stage().Over() {
		return ErrStage
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.count(); err != nil {
		return err
	}
	if err := do(s); err != nil {
		return err
	}
	return o.note(n, now)
}

// end closes the attempt of a candidate who was let in and is not through.
func (s *seat) end(reason string) error {
	switch s.attempt.State().(type) {
	case practical.Ready, practical.Examining:
		s.time.lost = 0
		return s.attempt.Close(reason, s.time.wall)
	}
	return ErrStage
}

// sits reports whether a candidate was let in and is not through.
func (s *seat) sits() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	switch s.attempt.State().(type) {
	case practical.Ready, practical.Examining:
		return true
	}
	return false
}

// shut hands in what is under way, as it stands.
func (o *Office) shut(reason string) error {
	var open []*seat
	for _, s := range o.r.all() {
		if s.sits() {
			open = append(open, s)
		}
	}
	if len(open) == 0 {
		return nil
	}
	if err := practical.CheckReason(reason); err != nil {
		return err
	}
	for _, s := range open {
		s.mu.Lock()
		err := s.count()
		if _, over := s.attempt.State().(practical.Over); err == nil && !over {
			err = s.end(reason)
		}
		s.mu.Unlock()
		if err != nil {
			return err
		}
	}
	return nil
}
