package room

import (
	"time"

	"conoid/cmd/internal/host/store"
	"conoid/scoring/practical"
	"conoid/sim/fact"
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
		if err := stood(s, o.halt()); err != nil {
			return err
		}
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
	o.r.deeds.Lock()
	defer o.r.deeds.Unlock()
	n.Candidate = practical.Candidate(n.Candidate)
	s, err := placeOf(o.r, n.Candidate)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.count(); err != nil {
		return err
	}
	return o.deed(n, now, []*seat{s}, do)
}

// end closes the attempt of a candidate who was let in and is not through.
func (s *seat) end(reason string) error {
	if !s.attempt.sits() {
		return ErrStage
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
		if err := stood(s, o.halt()); err != nil {
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

// The errors of a number that is to be corrected.
var (
	ErrLobby error = fact.Refuse("host.lobby-number")
	ErrThere error = fact.Refuse("host.number-there")
)

// Renumber gives a candidate the right number who was let in under a wrong one. What was
// done goes along, and so does what lets in; a ticket or a session of the right number
// ends. Nobody may have been let in under it.
func (o *Office) Renumber(candidate, to, who, reason string, now time.Time) error {
	to = practical.Candidate(to)
	o.r.deeds.Lock()
	defer o.r.deeds.Unlock()
	s, err := placeOf(o.r, candidate)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if _, is := s.attempt.State().(practical.Entering); is {
		return ErrLobby
	}
	other := o.r.of(to)
	if other != nil && other != s {
		other.mu.Lock()
		defer other.mu.Unlock()
		if _, is := other.attempt.State().(practical.Entering); !is {
			return ErrThere
		}
	}
	if err := s.count(); err != nil {
		return err
	}
	if !s.attempt.sits() {
		return ErrStage
	}
	from, begun := s.candidate, s.entry().Order()[:s.begun()]
	n := Note{Who: who, Do: Renumbered, Candidate: from, To: to, Reason: reason}
	err = o.deed(n, now, []*seat{s}, func(s *seat) error { return s.attempt.Renumber(to, reason, kept{s, to}, s.time.wall) },
		func(w store.Writes) error { return w.Renumber(o.r.plan.ID, from, to, begun) })
	if err != nil {
		return err
	}
	if other != nil {
		o.r.shutOut(other)
	}
	rename(s, to)
	return nil
}

// rename has a seat stand under another number, as it is kept.
func rename(s *seat, number string) {
	s.r.mu.Lock()
	defer s.r.mu.Unlock()
	delete(s.r.seats, s.candidate)
	s.candidate = number
	s.r.seats[number] = s
	if s.open != nil {
		s.open.at.Candidate = number
	}
}

// resume has the time run again for everybody. That it stood still, and why, is in each
// record from then on. All places wait until that is kept.
func resume(o *Office, n Note, now time.Time) error {
	var halted []*seat
	for _, s := range o.r.all() {
		s.mu.Lock()
		defer s.mu.Unlock()
		if s.time.halted > 0 {
			halted = append(halted, s)
		}
	}
	return o.r.enter(Open, now, n, halted, func(s *seat) error { return stood(s, o.halt()) })
}

// shut closes the practical, and hands in what is under way, as it stands. All places wait
// until everything is kept.
func (o *Office) shut(n Note, now time.Time) error {
	var open []*seat
	for _, s := range o.r.all() {
		s.mu.Lock()
		defer s.mu.Unlock()
		if err := s.count(); err != nil {
			return err
		}
		if s.attempt.sits() {
			open = append(open, s)
		}
	}
	if err := practical.CheckReason(n.Reason); len(open) > 0 && err != nil {
		return err
	}
	return o.r.enter(Closed, now, n, open, func(s *seat) error {
		if err := stood(s, o.halt()); err != nil {
			return err
		}
		return s.end(n.Reason)
	})
}
