package room

import (
	"cmp"
	"time"

	"conoid/cmd/internal/host/store"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

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
	if err := o.r.begin(); err != nil {
		return err
	}
	defer o.r.deeds.Unlock()
	s, err := placeOf(o.r, candidate)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.attempt.waits() {
		return ErrLobby
	}
	other := o.r.of(to)
	if other != nil && other != s {
		other.mu.Lock()
		defer other.mu.Unlock()
		if !other.attempt.waits() {
			return ErrThere
		}
	}
	if err := mayRenumber(s); err != nil {
		return err
	}
	n := Note{Who: who, Do: Renumbered, Candidate: s.candidate, To: to, Reason: reason}
	move := moveTo(s, s.candidate, to)
	err = o.deed(n, now, []*seat{s}, func(s *seat) error { return kept{seat: s, number: to}.take(reason) }, move)
	if err != nil {
		return err
	}
	if other != nil {
		o.r.shutOut(other)
	}
	rename(s, to)
	return nil
}

// Exchange gives each of two candidates the number of the other, who were let in under one
// another's. With each goes along what was done, and what lets in. Both have to sit: what
// was handed in as a whole is signed with its number.
func (o *Office) Exchange(candidate, other, who, reason string, now time.Time) error {
	if err := o.r.begin(); err != nil {
		return err
	}
	defer o.r.deeds.Unlock()
	a, err := placeOf(o.r, candidate)
	b, err2 := placeOf(o.r, other)
	if err := cmp.Or(err, err2); err != nil {
		return err
	}
	if a == b {
		return fact.Refuse("practical.rule.same-number", "candidate", a.candidate)
	}
	both := []*seat{a, b}
	for _, s := range both {
		s.mu.Lock()
		defer s.mu.Unlock()
		if s.attempt.waits() {
			return ErrLobby
		}
		if err := mayRenumber(s); err != nil {
			return err
		}
	}
	was, is := a.candidate, b.candidate
	number := map[*seat]string{a: is, b: was}
	n := Note{Who: who, Do: Exchanged, Candidate: was, To: is, Reason: reason}
	err = o.deed(n, now, both, func(s *seat) error {
		return kept{s, number[s], true}.take(reason)
	}, moveTo(a, was, meanwhile), moveTo(b, is, was), moveTo(a, meanwhile, is))
	if err != nil {
		return err
	}
	rename(a, is)
	rename(b, was)
	return nil
}

// mayRenumber has all time until now count, which is kept under the number as it is, and
// says why it cannot be another one.
func mayRenumber(s *seat) error {
	if err := s.count(); err != nil {
		return err
	}
	if !s.attempt.sits() {
		return ErrStage
	}
	return nil
}

// take gives an attempt the number under which it is kept.
func (s kept) take(reason string) error {
	return s.attempt.Renumber(s.number, reason, s, s.time.now())
}

// meanwhile is the number of nobody, under which a seat is while two are exchanged: no
// candidate can have it.
const meanwhile = "-"

// moveTo keeps a seat under another number, with the logs of the cases that were begun.
func moveTo(s *seat, from, to string) write {
	begun := s.entry().Order()[:s.begun()]
	return func(w store.Writes) error { return w.Renumber(s.r.plan.ID, from, to, begun) }
}

// rename has a seat stand under another number, as it is kept.
func rename(s *seat, number string) {
	s.r.mu.Lock()
	defer s.r.mu.Unlock()
	if s.r.seats[s.candidate] == s { // else somebody has that number by now
		delete(s.r.seats, s.candidate)
	}
	s.candidate = number
	s.r.seats[number] = s
	if s.open != nil {
		s.open.at.Candidate = number
	}
}
