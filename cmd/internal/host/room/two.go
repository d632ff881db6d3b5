package room

import (
	"slices"
	"strings"
	"time"

	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// Some deeds take two people: one asks, and another confirms.
var takesTwo = []Deed{Released, Voided}

// The errors of what takes two people.
var (
	ErrOwn     error = fact.Refuse("host.own-request")
	ErrNoAsk   error = fact.Refuse("host.no-request")
	ErrChanged error = fact.Refuse("host.changed-since")
)

// Ask asks for a deed that takes two people: that the marks are released, or that the
// result of a candidate is void.
func (o *Office) Ask(do Deed, candidate, who, reason string, now time.Time) error {
	o.r.deeds.Lock()
	defer o.r.deeds.Unlock()
	n := Note{Who: who, Do: Asked, Asks: do, Candidate: practical.Candidate(candidate), Reason: reason}
	if do == Released {
		n.Candidate, n.Sum = "", o.marks()
	}
	same := func(o Note) bool { return o.Asks == do && o.Candidate == n.Candidate }
	if slices.ContainsFunc(o.requests(), same) {
		return fact.Refuse("host.asked-already")
	}
	if err := o.askable(n); err != nil {
		return err
	}
	return o.note(n, now)
}

// askable says why what is asked for cannot be done as things stand.
func (o *Office) askable(n Note) error {
	switch {
	case !slices.Contains(takesTwo, n.Asks) || o.r.Stage() != Closed:
		return ErrStage
	case n.Asks == Released && o.marks() == "":
		return ErrUnmarked
	case n.Asks == Released && n.Sum != o.marks():
		return ErrChanged
	case n.Asks == Released:
		return nil
	}
	if s := o.r.of(n.Candidate); s == nil || o.voids()[n.Candidate] != "" || !s.over() {
		return ErrNobody
	}
	return practical.CheckReason(n.Reason)
}

// over reports whether everything of a candidate was handed in.
func (s *seat) over() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	_, is := s.attempt.State().(practical.Over)
	return is
}

// Requests are those that nobody has answered yet.
func (o *Office) Requests() []Note {
	return o.requests()
}

// Confirm does what was asked for in note n, for somebody else than who asked.
func (o *Office) Confirm(n int, who string, now time.Time) error {
	o.r.deeds.Lock()
	defer o.r.deeds.Unlock()
	asked, err := o.request(n)
	if err != nil {
		return err
	}
	if who == "" || strings.EqualFold(who, asked.Who) {
		return ErrOwn
	}
	if err := o.askable(asked); err != nil {
		return err
	}
	did := Note{Who: who, Do: asked.Asks, For: n, Candidate: asked.Candidate, Reason: asked.Reason, Sum: asked.Sum}
	if asked.Asks == Released {
		return o.release(did, now)
	}
	return o.note(did, now)
}

// release shows candidates what the practical shows of their marks. The note comes
// first: what was released has two names.
func (o *Office) release(n Note, now time.Time) error {
	if err := o.readPoints(); err != nil {
		return err
	}
	if err := o.note(n, now); err != nil {
		return err
	}
	return o.r.to(Out)
}

// Decline answers note n with no. Who asked can take it back so.
func (o *Office) Decline(n int, who, reason string, now time.Time) error {
	o.r.deeds.Lock()
	defer o.r.deeds.Unlock()
	asked, err := o.request(n)
	if err != nil {
		return err
	}
	return o.note(Note{Who: who, Do: Declined, For: n, Candidate: asked.Candidate, Reason: reason}, now)
}
