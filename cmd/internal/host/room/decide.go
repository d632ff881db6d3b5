package room

import (
	"maps"
	"slices"
	"strings"
	"time"

	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// ErrCaseSo says that a case counts, or does not, as it was asked for.
var ErrCaseSo error = fact.Refuse("host.case-so")

// AskDecision asks for other points for a case of a candidate, by its number in the plan,
// from 1; somebody else has to confirm it.
func (b Beside) AskDecision(candidate string, number int, points float64, who, reason string, now time.Time) error {
	return b.ask(Note{Who: who, Asks: Decided, Candidate: practical.Candidate(candidate), Case: number, Points: &points, Reason: reason}, now)
}

// AskCase asks that a case counts for nobody, or that it counts again, by its number in the
// plan, from 1; somebody else has to confirm it.
func (b Beside) AskCase(do Deed, number int, who, reason string, now time.Time) error {
	if do != Withdrawn && do != Restored {
		return ErrStage
	}
	return b.ask(Note{Who: who, Asks: do, Case: number, Reason: reason}, now)
}

// Withdrawn is why cases count for nobody, by their number in the plan, from 1.
func (b Beside) Withdrawn() map[int]string {
	b.o.mu.Lock()
	defer b.o.mu.Unlock()
	return maps.Clone(b.o.decided.off)
}

// Decided are the other points of a candidate for cases: of each case those that count.
func (b Beside) Decided(candidate string) (all []Note) {
	b.o.mu.Lock()
	defer b.o.mu.Unlock()
	for _, n := range b.o.decided.other {
		if n.Candidate == practical.Candidate(candidate) {
			all = append(slices.DeleteFunc(all, func(o Note) bool { return o.Case == n.Case }), n)
		}
	}
	return all
}

// decides are the deeds that are decisions, as they are signed.
var decides = map[Deed]practical.Deed{Decided: practical.Override, Withdrawn: practical.Withdraw, Restored: practical.Restore}

// decision is the signed line of the decision that was asked for.
func (b Beside) decision(asked Note, now time.Time) (string, error) {
	if _, off := b.Withdrawn()[asked.Case]; asked.Asks != Decided && off == (asked.Asks == Withdrawn) {
		return "", ErrCaseSo
	}
	d := practical.Decision{At: now, Do: decides[asked.Asks], Candidate: asked.Candidate, Case: asked.Case, Points: asked.Points, Reason: asked.Reason}
	line, err := practical.LedgerOf(b.o.r.plan, DecisionsPaper, b.o.ledger(Decided)).Decide(b.o.r.keys, d)
	return strings.TrimSuffix(string(line), "\n"), err
}

// forgotten is a file of decisions without those about who was erased, as note n says.
func forgotten(p *practical.Plan, k *practical.Keys, n Note, data []byte) ([]byte, error) {
	l := practical.LedgerOf(p, DecisionsPaper, data)
	all, err := l.Decisions()
	if err != nil || !slices.ContainsFunc(all, func(d practical.Decision) bool { return d.Candidate == n.Candidate }) {
		return data, err
	}
	return l.Forget(k, n.Candidate, n.At)
}

// decided is what was decided about cases.
type decided struct {
	other []Note         // other points for cases
	off   map[int]string // why cases count for nobody, by their number
}

// took takes in whether a case counts, and for what.
func (d *decided) took(n Note) {
	switch n.Do {
	case Decided:
		d.other = append(d.other, n)
	case Withdrawn:
		if d.off == nil {
			d.off = map[int]string{}
		}
		d.off[n.Case] = n.Reason
	case Restored:
		delete(d.off, n.Case)
	}
}
