package room

import (
	"slices"
	"strings"
	"time"

	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// Some deeds take two people: one asks, and another confirms.
var takesTwo = []Deed{Opened, Released, Voided, Decided, Withdrawn, Restored, Erasable}

// The errors of what takes two people.
var (
	ErrOwn     error = fact.Refuse("host.own-request")
	ErrNoAsk   error = fact.Refuse("host.no-request")
	ErrChanged error = fact.Refuse("host.changed-since")
)

// Ask asks for a deed that takes two people: that the practical is opened before its time,
// that the marks are released, that the result of a candidate is void, or that a candidate
// may be erased before the release. [Beside.AskDecision] and
// [Beside.AskCase] ask for decisions.
func (o *Office) Ask(do Deed, candidate, who, reason string, now time.Time) error {
	return o.Beside().ask(Note{Who: who, Asks: do, Candidate: practical.Candidate(candidate), Reason: reason}, now)
}

func (b Beside) ask(n Note, now time.Time) error {
	o := b.o
	if err := o.r.begin(); err != nil {
		return err
	}
	defer o.r.deeds.Unlock()
	n.Do = Asked
	if n.Asks == Released {
		n.Candidate, n.Sum, n.Just = "", o.marks(), b.Borderline()
	}
	same := func(o Note) bool { return o.Asks == n.Asks && o.Candidate == n.Candidate && o.Case == n.Case }
	if all := o.Requests(); slices.ContainsFunc(all, same) {
		return fact.Refuse("host.asked-already", "who", all[slices.IndexFunc(all, same)].Who)
	}
	if n.Asks == Opened && !o.Early(now) {
		return ErrStage
	}
	if err := o.askable(n); err != nil {
		return err
	}
	return o.note(n, now)
}

// askable says why what is asked for cannot be done as things stand.
func (o *Office) askable(n Note) error {
	switch {
	case n.Asks == Opened && o.r.Stage() == Scheduled:
		return practical.CheckReason(n.Reason)
	case !slices.Contains(takesTwo, n.Asks) || o.r.Stage() != Closed:
		return ErrStage
	case n.Asks == Released && o.marks() == "":
		return ErrUnmarked
	case n.Asks == Released && n.Sum != o.marks():
		return ErrChanged
	case n.Asks == Released:
		return nil
	case n.Asks == Withdrawn || n.Asks == Restored:
		_, err := o.Beside().decision(n, n.At)
		return err
	}
	s := o.r.of(n.Candidate)
	if s == nil || (n.Asks == Voided || n.Asks == Decided) && (o.voids()[n.Candidate] != "" || !through(s)) || n.Asks == Erasable && o.erasable(n.Candidate) {
		return ErrNobody
	}
	if n.Asks == Decided {
		_, err := o.Beside().decision(n, n.At)
		return err
	}
	return practical.CheckReason(n.Reason)
}

// through reports whether everything of a candidate was handed in.
func through(s *seat) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.attempt.over()
}

// Confirm does what was asked for in note n, for somebody else than who asked.
func (o *Office) Confirm(n int, who string, now time.Time) error {
	if err := o.r.begin(); err != nil {
		return err
	}
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
	did := Note{Who: who, Do: asked.Asks, For: n, Candidate: asked.Candidate, Reason: asked.Reason, Sum: asked.Sum, Case: asked.Case, Points: asked.Points}
	switch asked.Asks {
	case Opened:
		return o.r.enter(Open, now, did, nil, nil)
	case Released:
		return o.release(did, now)
	case Decided, Withdrawn, Restored:
		if did.Signed, err = o.Beside().decision(asked, now); err != nil {
			return err
		}
	}
	return o.note(did, now)
}

// release shows candidates what the practical shows of their marks, once that is kept.
func (o *Office) release(n Note, now time.Time) error {
	if _, err := o.papers(); err != nil {
		return err
	}
	if err := o.r.enter(Out, now, n, nil, nil); err != nil {
		return err
	}
	return o.readPoints()
}

// Decline answers note n with no. Who asked can take it back so.
func (o *Office) Decline(n int, who, reason string, now time.Time) error {
	if err := o.r.begin(); err != nil {
		return err
	}
	defer o.r.deeds.Unlock()
	asked, err := o.request(n)
	if err != nil {
		return err
	}
	return o.note(Note{Who: who, Do: Declined, For: n, Candidate: asked.Candidate, Reason: reason}, now)
}
