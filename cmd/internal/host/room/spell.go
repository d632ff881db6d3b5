package room

import (
	"time"

	"conoid/scoring/practical"
)

// Silence. When nothing was heard of a bench for so long its candidate is lost, and
// their time stops from the last contact on, up to so much for a case. Both are our
// choice.
const (
	Silent   = 15 * time.Second
	mostLost = 3 * time.Minute
)

// spell is the time of a candidate since they were heard last.
type spell struct {
	wall time.Time     // of the attempt: it goes on with what counts only
	owed time.Duration // has passed since, and does not count yet
	lost time.Duration // did not count, in this case
	away bool          // nothing was heard for too long
}

// hear takes in that the candidate's bench was heard: all time until now counts
// that was not lost.
func (s *seat) hear() (err error) {
	s.time.away = false
	return s.count()
}

// pass lets time pass at a seat.
func (s *seat) pass(spent time.Duration) error {
	s.time.owed += spent
	if _, is := s.attempt.State().(practical.Examining); !is {
		return s.count()
	}
	if s.time.owed < Silent && !s.time.away {
		return nil
	}
	s.time.away = true
	lose := min(s.time.owed, mostLost-s.time.lost)
	s.time.lost += lose
	s.time.owed -= lose
	return s.count()
}

// count has the time count that is owed, and hands in a case whose time is up.
func (s *seat) count() error {
	owed := s.time.owed
	s.time.owed = 0
	switch s.attempt.State().(type) {
	case practical.Examining:
		s.time.wall = s.time.wall.Add(owed)
		up, err := s.attempt.Tick(s.time.wall, owed)
		if up {
			return s.handIn()
		}
		return err
	case practical.Ready:
		s.time.wall = s.time.wall.Add(owed)
		_, err := s.attempt.Tick(s.time.wall, owed)
		return err
	}
	return nil
}

// handIn hands in the case under way.
func (s *seat) handIn() error {
	err := s.attempt.HandIn(s.time.wall)
	s.time.lost = 0
	return err
}

// Pass lets time pass for everybody at a practical that is open, by a clock that
// nobody can set. It is called often, and by one goroutine.
func (r *Room) Pass(spent time.Duration) (err error) {
	r.mu.Lock()
	if r.stage != Open {
		r.mu.Unlock()
		return nil
	}
	seats := make([]*seat, 0, len(r.seats))
	for _, s := range r.seats {
		seats = append(seats, s)
	}
	r.mu.Unlock()
	for _, s := range seats {
		s.mu.Lock()
		if e := s.pass(spent); e != nil && err == nil {
			err = e
		}
		s.mu.Unlock()
	}
	return err
}
