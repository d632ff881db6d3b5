package room

import (
	"maps"
	"slices"
	"time"

	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
)

// Ticket gives out a ticket for a candidate. It ends the one before, and the
// session at another machine: what was done goes on at the next.
func (r *Room) Ticket(candidate, who, reason string, now time.Time) (ticket string, err error) {
	candidate = practical.Candidate(candidate)
	if err := r.plan.Admits(candidate); err != nil {
		return "", err
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.stage == Closed {
		return "", ErrStage
	}
	s := r.seats[candidate]
	if s == nil {
		s = &seat{r: r, candidate: candidate, attempt: &practical.Attempt{}}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	ticket = newTicket()
	if err := r.letIn(s, r.hash("ticket", written(ticket)), nil, ""); err != nil {
		return "", err
	}
	r.seats[candidate] = s
	return ticket, r.note(Note{Who: who, Do: Ticketed, Candidate: candidate, Reason: reason}, now)
}

// Admit lets a candidate in who waits in the lobby.
func (r *Room) Admit(candidate, who string, now time.Time) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	candidate = practical.Candidate(candidate)
	s := r.seats[candidate]
	if s == nil {
		return ErrNobody
	}
	if r.stage == Closed {
		return ErrStage
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.attempt.Admit(r.plan, candidate, s, now); err != nil {
		return err
	}
	s.time.wall = now.Round(0)
	return r.note(Note{Who: who, Do: Admitted, Candidate: candidate}, now)
}

// moves are the deeds that take a practical from a stage to another.
var moves = map[Deed]struct{ from, to Stage }{
	Opened:  {Scheduled, Open},
	Halted:  {Open, Held},
	Resumed: {Held, Open},
	Shut:    {Open, Closed},
}

// Move opens the practical, halts the time, goes on with it, or shuts the practical:
// then what is under way is left as it stands.
func (r *Room) Move(do Deed, who, reason string, now time.Time) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	m, is := moves[do]
	if !is || r.stage != m.from {
		return ErrStage
	}
	return r.enter(m.to, now, Note{Who: who, Do: do, Reason: reason})
}

// Standing is how a candidate stands, for those who watch.
type Standing struct {
	Candidate string
	Clock     wire.Clock
	Ticket    bool // one is out
	Here      bool // a session has the place
	Away      bool // nothing was heard for too long
	Lost      time.Duration
	Steps     int
	Code      string
}

// Board is how all candidates stand, by number.
func (r *Room) Board() (Stage, []Standing) {
	r.mu.Lock()
	defer r.mu.Unlock()
	all := make([]Standing, 0, len(r.seats))
	for _, c := range slices.Sorted(maps.Keys(r.seats)) {
		all = append(all, r.seats[c].standing(r.stage))
	}
	return r.stage, all
}

func (s *seat) standing(stage Stage) Standing {
	s.mu.Lock()
	defer s.mu.Unlock()
	b := Standing{
		Candidate: s.candidate, Clock: s.clock(stage), Ticket: s.ticket != nil, Here: s.session != nil,
		Away: s.time.away, Lost: s.time.lost,
	}
	if now, is := s.attempt.State().(practical.Over); is {
		b.Code = now.Record().Code()
	}
	if s.open != nil {
		b.Steps = s.open.chair.Steps().Total()
	}
	return b
}

// Notes are the lines of what was done to the practical.
func (r *Room) Notes() ([][]byte, error) { return r.store.Notes(r.plan.ID) }
