package room

import (
	"slices"
	"time"

	"conoid/cmd/internal/host/store"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// Ticket gives out a ticket for a candidate. It ends the one before, and the
// session at another machine: what was done goes on at the next.
func (o *Office) Ticket(candidate, who, reason string, now time.Time) (ticket string, err error) {
	candidate = practical.Candidate(candidate)
	if err := o.r.plan.Admits(candidate); err != nil {
		return "", err
	}
	if err := o.r.begin(); err != nil {
		return "", err
	}
	defer o.r.deeds.Unlock()
	if o.r.Stage().Over() {
		return "", ErrStage
	}
	s := o.r.of(candidate)
	if s == nil {
		s = &seat{r: o.r, candidate: candidate, attempt: attempt{&practical.Attempt{}}}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	ticket = newTicket()
	hash := o.r.hash("ticket", wire.Written(ticket))
	n := Note{Who: who, Do: Ticketed, Candidate: candidate, Reason: reason}
	kept := store.Seat{Practical: o.r.plan.ID, Candidate: candidate, Ticket: hash}
	if err := o.note(n, now, func(w store.Writes) error { return w.SetSeat(kept) }); err != nil {
		return "", err
	}
	s.opensTo(kept)
	return ticket, nil
}

// Admit lets a candidate in who waits in the lobby.
func (o *Office) Admit(candidate, who string, now time.Time) error {
	if err := o.r.begin(); err != nil {
		return err
	}
	defer o.r.deeds.Unlock()
	candidate = practical.Candidate(candidate)
	s, err := placeOf(o.r, candidate)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return o.deed(Note{Who: who, Do: Admitted, Candidate: candidate}, now, []*seat{s}, func(s *seat) error { return s.admit(now) })
}

// of is the seat of a candidate; nil when there is none.
func (r *register) of(candidate string) *seat {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.seats[candidate]
}

// admit lets the candidate in. Where that was kept before, though the store said that
// it was not, it goes on from there.
func (s *seat) admit(now time.Time) error {
	if _, is := s.attempt.State().(practical.Interrupted); !is {
		if err := s.attempt.Admit(s.r.plan, s.candidate, keepOf(s), now); err != nil {
			return err
		}
	}
	if _, is := s.attempt.State().(practical.Interrupted); is {
		if err := s.attempt.Allow(s.r.plan, now); err != nil {
			return err
		}
	}
	s.time.wall = now.Round(0)
	return nil
}

// moves are the deeds that take a practical from a stage to another.
var moves = map[Deed]struct {
	from []Stage
	to   Stage
}{
	Opened:  {[]Stage{Scheduled}, Open},
	Halted:  {[]Stage{Open}, Held},
	Resumed: {[]Stage{Held}, Open},
	Shut:    {[]Stage{Open, Held}, Closed},
}

// ErrEarly says that it takes two people to open the practical yet.
var ErrEarly error = fact.Refuse("host.early")

// Move opens the practical, halts the time, goes on with it, or shuts the practical:
// then what is under way is handed in as it stands, for a reason that has to be given.
func (o *Office) Move(do Deed, who, reason string, now time.Time) error {
	if err := o.r.begin(); err != nil {
		return err
	}
	defer o.r.deeds.Unlock()
	m, is := moves[do]
	if !is || !slices.Contains(m.from, o.r.Stage()) {
		return ErrStage
	}
	n := Note{Who: who, Do: do, Reason: reason}
	switch {
	case do == Opened && o.Early(now):
		return ErrEarly
	case do == Opened:
		return begins(o, n, now)
	case do == Shut:
		return shut(o, n, now)
	case do == Resumed:
		return resume(o, n, now)
	case do == Halted:
		if err := practical.CheckReason(reason); err != nil {
			return err
		}
	}
	return o.r.enter(m.to, now, n, nil, nil)
}

// Standing is how a candidate stands, for those who watch.
type Standing struct {
	Candidate string
	Clock     wire.Clock
	Ticket    bool   // one is out
	Here      bool   // a session has the place
	Away      bool   // nothing was heard for too long
	Paused    string // why the candidate's time stands still; "" while it does not
	Lost      time.Duration
	Silent    time.Duration // nothing was heard for so long
	Hidden    time.Duration // nobody could see the page for so long by now, while they examine
	Unseen    time.Duration // and so long in all
	Void      bool
	Steps     int // of the case under way, or of the one before the next
	Code      string
	End       End // "" until all was handed in
}

// End is how it came that all of a candidate was handed in.
type End string

// The ways to the end.
const (
	Through End = "through" // the last case, and every other one, was stated
	TimeUp  End = "time-up" // the time of a case was up
	ByStaff End = "closed"  // the place, or the practical, was closed before
)

// endOf is how it came that all was handed in.
func endOf(over practical.Over) End {
	if _, is := over.Closed(); is {
		return ByStaff
	}
	if slices.ContainsFunc(over.Record().Cases(), func(s practical.Sat) bool { return s.Ended == practical.TimedUp }) {
		return TimeUp
	}
	return Through
}

// Board is how all candidates stand, by number.
func (o *Office) Board() (Stage, []Standing) {
	stage, seats, void := o.r.Stage(), o.r.all(), o.voids()
	all := make([]Standing, len(seats))
	for i, s := range seats {
		all[i] = s.standing(stage)
		all[i].Void = void[all[i].Candidate] != ""
	}
	return stage, all
}

func (s *seat) standing(stage Stage) Standing {
	s.mu.Lock()
	defer s.mu.Unlock()
	b := Standing{
		Candidate: s.candidate, Clock: s.clock(stage), Ticket: s.ticket != nil, Here: s.session != nil,
		Away: s.time.away, Lost: s.time.lost, Silent: s.time.silent,
		Hidden: s.time.hidden.since, Unseen: s.time.hidden.inAll, Steps: s.steps,
	}
	if s.open != nil {
		b.Steps = s.open.chair.Steps().Total()
	}
	switch now := s.attempt.State().(type) {
	case practical.Over:
		b.Code, b.End, b.Steps = now.Record().Code(), endOf(now), 0
	case practical.Held:
		b.Paused = now.Why()
	}
	return b
}

// Notes are the lines of what was done to the practical.
func (o *Office) Notes() ([][]byte, error) { return o.r.store.Notes(o.r.plan.ID) }
