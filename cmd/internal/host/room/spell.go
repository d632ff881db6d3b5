package room

import (
	"sync"
	"time"

	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
)

// Silence. When nothing was heard of a bench for so long its candidate is lost, and
// their time stops from the last contact on, up to so much for a case. Both are our
// choice.
const (
	Silent   = wire.Silent
	mostLost = 3 * time.Minute
)

// spell is the time of a candidate since they were heard last.
type spell struct {
	wall   time.Time     // of the attempt: the clock of the service, as far as it is in the record
	owed   time.Duration // has passed since, and does not count yet
	still  time.Duration // before that: did not count, and is not in the record yet
	lost   time.Duration // did not count, in this case
	away   bool          // nothing was heard for too long
	silent time.Duration // nothing was heard for so long
	halted time.Duration // stood still for everybody, and is not in the record yet

	unkept bool // an action could not be kept, and has not been sent again

	hidden hidden
}

// hidden is for how long nobody could see the page of a candidate who examines, as it said
// itself. It is for people to look at, and forgotten when the service is started again.
type hidden struct {
	now   bool
	since time.Duration // it has been by now
	inAll time.Duration
}

// says takes in what a page says.
func (h *hidden) says(now bool) {
	if h.now = now; !now {
		h.since = 0
	}
}

// pass lets time pass for a page that is hidden.
func (h *hidden) pass(spent time.Duration) {
	if h.now {
		h.since += spent
		h.inAll += spent
	}
}

// hear takes in that the candidate's bench was heard: all time until now counts
// that was not lost.
func (s *seat) hear() (err error) {
	s.time.away, s.time.silent = false, 0
	return s.count()
}

// pass lets time pass at a seat.
func (s *seat) pass(spent time.Duration) error {
	s.time.silent += spent
	if s.attempt.paused() { // the time from then on is in the record, and counts for nothing
		s.time.wall = s.time.wall.Add(spent)
		return nil
	}
	s.time.owed += spent
	if _, is := s.attempt.State().(practical.Examining); !is {
		return s.count()
	}
	s.time.hidden.pass(spent)
	if s.time.owed < Silent && !s.time.away && !s.time.unkept {
		return nil
	}
	s.time.away = s.time.away || s.time.owed >= Silent
	lose := min(s.time.owed, mostLost-s.time.lost)
	s.time.lost += lose
	s.time.owed -= lose
	s.time.still += lose
	if s.time.owed == 0 && !s.stated() {
		return nil
	}
	return s.count()
}

// count has the time count that is owed, and hands in a case whose time is up. Before
// the first case there is none: the candidate waits.
func (s *seat) count() error {
	if err := unheard(s); err != nil {
		return err
	}
	owed := s.time.owed
	s.time.owed = 0
	switch s.attempt.State().(type) {
	case practical.Examining:
		s.time.wall = s.time.wall.Add(owed)
		up, err := s.attempt.Tick(s.time.wall, owed)
		if up || s.stated() {
			return s.handIn()
		}
		return err
	case practical.Ready:
		s.time.wall = s.time.wall.Add(owed)
		if s.begun() == 0 {
			return practical.Waits(s.attempt.Attempt, s.time.wall)
		}
		_, err := s.attempt.Tick(s.time.wall, owed)
		return err
	}
	return nil
}

// unheard puts into the record of a candidate what did not count and is not there yet.
func unheard(s *seat) error {
	until := s.time.wall.Add(s.time.still)
	if s.time.still > 0 && s.begun() > 0 && s.attempt.sits() && !s.attempt.paused() {
		if err := practical.Unheard(s.attempt.Attempt, s.time.wall, until); err != nil {
			return err
		}
	}
	s.time.wall, s.time.still = until, 0
	return nil
}

// now is what the clock of the service shows, once what is owed was counted.
func (t *spell) now() time.Time { return t.wall.Add(t.halted) }

// handIn hands in the case under way.
func (s *seat) handIn() error {
	if err := s.attempt.HandIn(s.time.wall); err != nil {
		return err
	}
	s.time.lost, s.time.unkept = 0, false
	s.time.hidden.says(false)
	return nil
}

// Pass lets time pass for everybody at a practical that is not over, by a clock that
// nobody can set. It is called often, and by one goroutine. While the store cannot
// keep what is done none counts, for nobody can do anything.
func (r *Room) Pass(spent time.Duration) error {
	if r.unsure.Load() != nil || r.store.ails.Load() && goes(r) {
		r.unserved += spent
		if err := r.tryAgain(); err != nil {
			return err
		}
		spent, r.unserved = r.unserved, 0
		return Idle(r, spent)
	}
	return passes(r, func(s *seat, stage Stage) error {
		switch stage {
		case Scheduled:
			waits(s, spent)
		case Held:
			halts(s, spent)
		default:
			return s.pass(spent)
		}
		return nil
	})
}

// Idle lets time pass in which the service served nobody: it counts for nobody.
func Idle(r *Room, spent time.Duration) error {
	return passes(r, func(s *seat, stage Stage) error {
		switch {
		case stage == Held:
			halts(s, spent)
		case stage == Scheduled || s.attempt.paused():
			waits(s, spent)
		case s.attempt.sits():
			s.time.still += spent
		}
		return nil
	})
}

// goes reports whether the clock of a practical goes: it is not over, and not one that can
// only be read.
func goes(r *Room) bool { return !r.Stage().Over() && r.Broken() == nil }

// passes lets time pass at all seats, if the clock goes.
func passes(r *Room, do func(*seat, Stage) error) error {
	if !goes(r) {
		return nil
	}
	stage := r.Stage()
	return atOnce(r.all(), func(s *seat) error {
		s.mu.Lock()
		defer s.mu.Unlock()
		return do(s, stage)
	})
}

// waits lets time pass at a seat where it counts for nothing, and needs no note.
func waits(s *seat, spent time.Duration) {
	if s.attempt.sits() {
		s.time.wall = s.time.wall.Add(spent)
	}
}

// halts lets time pass at a seat while it stands still for everybody.
func halts(s *seat, spent time.Duration) {
	switch {
	case s.attempt.paused():
		s.time.wall = s.time.wall.Add(spent)
	case s.attempt.sits():
		s.time.halted += spent
	}
}

// stood puts into the record of a candidate that the time stood still for everybody, and
// why.
func stood(s *seat) error {
	if s.time.halted == 0 {
		return nil
	}
	if err := s.attempt.Hold(s.r.Halt(), s.time.wall); err != nil {
		return err
	}
	s.time.wall = s.time.wall.Add(s.time.halted)
	s.time.halted = 0
	return s.attempt.GoOn(s.time.wall)
}

// tryAgain has time pass again from now on, if the store keeps what it is given.
func (r *Room) tryAgain() error {
	r.deeds.Lock()
	defer r.deeds.Unlock()
	if err := r.sure(); err != nil {
		return err
	}
	r.store.ails.Store(false)
	return r.keep(r.store, r.Stage())
}

// together is for how many seats something is done at once: as many as share a commit.
const together = 64

// atOnce does something for all, some at once. The error is that of the first who has one.
func atOnce(all []*seat, do func(*seat) error) error {
	errs := make([]error, len(all))
	var wait sync.WaitGroup
	turns := make(chan struct{}, together)
	for i, s := range all {
		turns <- struct{}{}
		wait.Go(func() {
			errs[i] = do(s)
			<-turns
		})
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
