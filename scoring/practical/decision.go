package practical

import (
	"slices"
	"time"
	"unicode/utf8"

	"conoid/sim/fact"
)

// Decision is what an assessor decided about marks, and why.
type Decision struct {
	N         int       `json:"n"` // 1, 2, 3 and so on
	At        time.Time `json:"at"`
	Do        Deed      `json:"do"`
	Candidate string    `json:"candidate,omitempty"` // Override
	Case      int       `json:"case,omitempty"`      // from 1, in the order of the plan
	Points    *float64  `json:"points,omitempty"`    // Override: instead of those marked
	Reason    string    `json:"reason"`              // "" when somebody was forgotten
}

// Deed is what a decision does.
type Deed string

// The deeds.
const (
	Override Deed = "override" // other points for a candidate's case
	Withdraw Deed = "withdraw" // a case no longer counts, for anybody
	Restore  Deed = "restore"  // a case that was withdrawn counts again
	Forgot   Deed = "forgot"   // a candidate was forgotten, with the decisions about them
)

// Name is the ID of the words for a deed.
func (d Deed) Name() string { return "practical.deed." + string(d) }

// Ledger is the file of the decisions on a practical.
type Ledger struct {
	plan *Plan
	file chained
}

// LedgerOf is the decisions on a practical whose file has a name, for messages,
// and holds data, which may be empty.
func LedgerOf(p *Plan, name string, data []byte) Ledger {
	return Ledger{p, p.chained(name, "decisions on", data)}
}

const mostReason = 500

// Decide gives the line that has to be added to the file. What changes nothing is refused:
// a case that is withdrawn is not withdrawn again, and only one that is is restored.
func (l Ledger) Decide(k *Keys, d Decision) ([]byte, error) {
	past, err := l.Decisions()
	if err != nil {
		return nil, err
	}
	if d.Do == Withdraw || d.Do == Restore {
		if bad := d.check(l.plan); bad != nil {
			return nil, bad
		}
		if off := withdrawn(past, d.Case); off == (d.Do == Withdraw) {
			return nil, fact.Refuse("practical.decision."+string(d.Do)+"-so", "n", fact.Count(d.Case))
		}
	}
	return l.add(k, d, past)
}

// withdrawn reports whether a case, from 1, does not count any more.
func withdrawn(past []Decision, n int) (off bool) {
	for _, d := range past {
		if d.Case == n && (d.Do == Withdraw || d.Do == Restore) {
			off = d.Do == Withdraw
		}
	}
	return off
}

// add is the line of a decision after those that the file holds.
func (l Ledger) add(k *Keys, d Decision, past []Decision) ([]byte, error) {
	d.N, d.At, d.Candidate = len(past)+1, d.At.Round(0), Candidate(d.Candidate)
	if err := d.check(l.plan); err != nil {
		return nil, err
	}
	if !k.Public().Equal(l.plan.secret.Assessor) {
		return nil, fact.Refuse("practical.other-assessor-decides")
	}
	return l.file.line(k, d)
}

// Decisions reads the file. The error is a fact "practical.at" that names the
// line.
func (l Ledger) Decisions() ([]Decision, error) {
	out, err := linesOf[Decision](l.file)
	if err != nil {
		return nil, err
	}
	for i, d := range out {
		wrong := d.check(l.plan)
		if d.N != i+1 {
			wrong = fact.Refuse("practical.line.before")
		}
		if wrong != nil {
			return nil, malformed(l.file.name, i+1, wrong.Fact)
		}
	}
	return out, nil
}

// check says what is wrong with a decision on a practical.
func (d Decision) check(p *Plan) *fact.Error {
	n := utf8.RuneCountInString(d.Reason)
	switch {
	case !slices.Contains([]Deed{Override, Withdraw, Restore, Forgot}, d.Do):
		return fact.Refuse("practical.decision.unknown", "do", string(d.Do))
	case d.Do == Forgot:
		if d.Candidate != "" || d.Case != 0 || d.Points != nil {
			return fact.Refuse("practical.decision.forgot-named")
		}
		return nil
	case n < 3 || n > mostReason || !plainLine(d.Reason, mostReason):
		return fact.Refuse("practical.decision.reason", "most", fact.Count(mostReason))
	case d.Case < 1 || d.Case > len(p.Cases):
		return fact.Refuse("practical.decision.case", "n", fact.Count(d.Case), "most", fact.Count(len(p.Cases)))
	case d.Do == Override && d.Points == nil:
		return fact.Refuse("practical.decision.no-points")
	case d.Do == Override && !(*d.Points >= 0 && *d.Points <= 100):
		return fact.Refuse("practical.decision.points", "points", fact.Number(*d.Points))
	case d.Do == Override:
		return p.admits(d.Candidate)
	case d.Candidate != "" || d.Points != nil:
		return fact.Refuse("practical.decision.everybody")
	}
	return nil
}

// Forget gives the file without the decisions about a candidate, signed anew, and
// with a line that says that somebody was forgotten, but not who.
func (l Ledger) Forget(k *Keys, candidate string, at time.Time) ([]byte, error) {
	past, err := l.Decisions()
	if err != nil {
		return nil, err
	}
	past = slices.DeleteFunc(past, func(d Decision) bool { return d.Candidate == Candidate(candidate) })
	past = append(past, Decision{At: at, Do: Forgot})
	out := LedgerOf(l.plan, l.file.name, nil)
	for i, d := range past {
		line, err := out.add(k, d, past[:i])
		if err != nil {
			return nil, err
		}
		out.file.data = append(out.file.data, line...)
	}
	return out.file.data, nil
}

// Apply applies decisions to a sheet. Later ones count.
func (s *Sheet) Apply(ds []Decision) {
	for _, d := range ds {
		switch d.Do {
		case Override:
			if d.Candidate == s.Candidate {
				c := &s.Cases[d.Case-1]
				c.Points, c.Reason = min(*d.Points, c.Most), d.Reason
			}
		case Withdraw, Restore:
			s.Cases[d.Case-1].Withdrawn = d.Do == Withdraw
		}
	}
	s.sum()
}
