package practical

import (
	"slices"
	"time"

	"conoid/sim/fact"
)

// Ruling is something that the assessor did to an attempt while it was sat. It
// stands in the record, with the reason. That everybody's time stood still is an
// [Interruption] with a reason.
type Ruling struct {
	Do     Rule          `json:"do"`
	At     time.Time     `json:"at"` // by the clock of the station
	Reason string        `json:"reason"`
	Case   int           `json:"case"`           // index in the plan: the one under way, or the next one
	Time   time.Duration `json:"time,omitempty"` // Granted: so much more; Lessened: so much less
	From   string        `json:"from,omitempty"` // Renumbered: the number before
	To     string        `json:"to,omitempty"`   // Renumbered: the number from then on
}

// Rule is a kind of [Ruling].
type Rule string

// The kinds of rulings.
const (
	Granted    Rule = "granted"    // more time, for one case and in all
	Lessened   Rule = "lessened"   // time that was granted is taken back
	Closed     Rule = "closed"     // all is over, with the case under way as it stood
	Renumbered Rule = "renumbered" // the number had been a wrong one
	Noted      Rule = "noted"      // something that happened; it changes nothing
	Left       Rule = "left"       // set down unfinished, to go on here
	Carried    Rule = "carried"    // set down unfinished, to go on at another station
	TakenUp    Rule = "taken-up"   // after it was carried: there, or back here; with the reason of that
)

// Name is the ID of the words for a kind.
func (r Rule) Name() string { return "practical.rule." + string(r) }

// Hold is that the time stands still, since when and why.
type Hold struct {
	From   time.Time `json:"from"` // by the clock of the station
	Reason string    `json:"reason"`
}

// longestReason is the longest reason that is kept, in characters: the project's choice.
const longestReason = 200

// CheckReason says what is wrong with the reason of a ruling.
func CheckReason(reason string) error {
	if !plainLine(reason, longestReason) {
		return fact.Refuse("practical.rule.reason", "most", fact.Count(longestReason))
	}
	return nil
}

// current is an attempt that goes on, as its assessor can change it.
type current struct {
	admitted
	open *Sat // the case under way; nil before one
}

// currentOf is the attempt that is in a state.
func currentOf(is State) (current, error) {
	switch s := is.(type) {
	case Ready:
		return current{s.admitted, nil}, nil
	case Examining:
		return current{s.admitted, &s.open}, nil
	case Held:
		return current(s), nil
	}
	return current{}, notNow(is)
}

// state is the state that an attempt is in.
func (s current) state() State {
	switch {
	case s.rec.Held != nil:
		return Held(s)
	case s.open != nil:
		return Examining{s.admitted, *s.open}
	}
	return Ready{s.admitted}
}

// become makes s what the attempt is, once that is kept.
func (a *Attempt) become(s current) error {
	var open []Sat
	if s.open != nil {
		open = []Sat{*s.open}
	}
	if err := s.store(open...); err != nil {
		return err
	}
	a.now = s.state()
	return nil
}

// at is the case under way, or the next one, as an index of the plan's Cases.
func (s current) at() int {
	if s.open != nil {
		return s.open.Case
	}
	return s.next()
}

// rule puts a ruling into the record.
func (s *current) rule(r Ruling, at time.Time) error {
	if err := CheckReason(r.Reason); err != nil {
		return err
	}
	if len(s.rec.Rulings) >= mostInterruptions {
		return fact.Refuse("practical.many-interruptions", "most", fact.Count(mostInterruptions))
	}
	r.At, r.Case = at.Round(0), s.at()
	s.rec.Rulings = append(slices.Clip(s.rec.Rulings), r)
	return nil
}

// Grant gives the candidate more time: for the case under way, or else the next one,
// and in all, where these are limited.
func (a *Attempt) Grant(more time.Duration, reason string, at time.Time) error {
	s, err := currentOf(a.State())
	if err != nil {
		return err
	}
	if s.plan.PerCase == 0 && s.plan.Total == 0 {
		return fact.Refuse("practical.rule.no-limit")
	}
	if more <= 0 || more > longest-s.rec.granted(nil) {
		return fact.Refuse("practical.rule.time", "time", seconds(more), "most", seconds(longest-s.rec.granted(nil)))
	}
	if err := s.rule(Ruling{Do: Granted, Reason: reason, Time: more}, at); err != nil {
		return err
	}
	return a.become(s)
}

// granted is the time that was granted for a case, without what was taken back; in all, for nil.
func (r *record) granted(i *int) (sum time.Duration) {
	for _, d := range r.Rulings {
		if i == nil || d.Case == *i {
			sum += d.granted()
		}
	}
	return sum
}

// allowed are the times that there are for case i and in all, with what was granted; 0
// is no limit.
func (r *record) allowed(p *Plan, i int) (perCase, total time.Duration) {
	perCase, total = r.entry(p).Times()
	if perCase > 0 {
		perCase += r.granted(&i)
	}
	if total > 0 {
		total += r.granted(nil)
	}
	return perCase, total
}

// Note puts something into the record that happened, such as that another machine died and
// the candidate began anew here.
func (a *Attempt) Note(what string, at time.Time) error {
	s, err := currentOf(a.State())
	if err != nil {
		return err
	}
	if err := s.rule(Ruling{Do: Noted, Reason: what}, at); err != nil {
		return err
	}
	return a.become(s)
}

// Hold has the time stand still, for the assessor's reason, until [Attempt.GoOn]; where it
// stands still already it does so for the new reason from now on. What passed before is
// to be told by Tick.
func (a *Attempt) Hold(reason string, at time.Time) error {
	s, err := currentOf(a.State())
	if err != nil {
		return err
	}
	if err := CheckReason(reason); err != nil {
		return err
	}
	if s.rec.Held != nil {
		s.goOn(at)
	}
	s.rec.Held = &Hold{From: at.Round(0), Reason: reason}
	return a.become(s)
}

// GoOn has the time run again.
func (a *Attempt) GoOn(at time.Time) error {
	h, is := a.State().(Held)
	if !is {
		return notNow(a.State())
	}
	s := current(h)
	if err := s.whole(); err != nil {
		return err
	}
	s.goOn(at)
	return a.become(s)
}

// goOn ends that the time stands still.
func (s *current) goOn(at time.Time) {
	at = at.Round(0)
	i := Interruption{Case: s.at(), At: at, Allowed: at, Between: s.open == nil}
	if s.open != nil {
		i.Elapsed = s.open.Elapsed
	}
	s.interrupted(i)
	s.clock.wall = at
}

// Renumber gives an attempt the right number that was begun under a wrong one. What
// was done goes along, and is kept in another place from then on, where the logs
// have to be already; what there is in the old one is of nobody any more. The order
// of the cases and the luck of their patients stay those of the number under which
// the first case was begun, so that nobody gains better luck by another number.
func (a *Attempt) Renumber(to, reason string, keep Keep, at time.Time) error {
	s, err := currentOf(a.State())
	if err != nil {
		return err
	}
	if err := s.renumber(to, reason, keep, at); err != nil {
		return err
	}
	if err := s.moved(keep); err != nil {
		return err
	}
	to = Candidate(to)
	if s.open != nil || len(s.rec.Cases) > 0 {
		s.rec.BegunAs = s.rec.luck()
	}
	s.rec.Candidate, s.keep = to, keep
	if s.rec.BegunAs == to {
		s.rec.BegunAs = ""
	}
	return a.become(s)
}

// MayRenumber says why [Attempt.Renumber] would be refused, before the logs are
// there.
func (a *Attempt) MayRenumber(to, reason string, keep Keep, at time.Time) error {
	s, err := currentOf(a.State())
	if err != nil {
		return err
	}
	return s.renumber(to, reason, keep, at)
}

// renumber puts the ruling into the record that the attempt has another number, which
// nobody else's attempt has in its place.
func (s *current) renumber(to, reason string, keep Keep, at time.Time) error {
	to = Candidate(to)
	if err := s.plan.Admits(to); err != nil {
		return err
	}
	if to == s.rec.Candidate {
		return fact.Refuse("practical.rule.same-number", "candidate", to)
	}
	if _, err := kept(keep, &s.rec, to); err != nil {
		return err
	}
	return s.rule(Ruling{Do: Renumbered, Reason: reason, From: s.rec.Candidate, To: to}, at)
}

// moved says which log is not in another place as it is in the old one.
func (s current) moved(keep Keep) error {
	for n, i := range s.begun() {
		was, err := s.keep.Log(i)
		if err != nil {
			return fact.Because(err, "practical.case", "n", fact.Count(n+1))
		}
		if is, err := keep.Log(i); err != nil || !slices.Equal(is, was) {
			return fact.Refuse("practical.no-log", "n", fact.Count(n+1))
		}
	}
	return nil
}

// begun are the cases that were begun, in their order, as indices of the plan's Cases.
func (s current) begun() []int {
	n := len(s.rec.Cases)
	if s.open != nil {
		n++
	}
	return s.Entry().Order()[:n]
}

// luck is the number from which the order of the cases and the luck of their patients
// follow.
func (r *record) luck() string {
	if r.BegunAs != "" {
		return r.BegunAs
	}
	return r.Candidate
}

// entry is what the candidate of a record gets of a practical.
func (r *record) entry(p *Plan) Entry { return Entry{p, r.Candidate, r.luck()} }

// checkRulings says what is wrong with the rulings of a record. A number is never
// another one than that under which the first case was begun without a ruling that
// says so.
func (r *record) checkRulings(p *Plan) error {
	wrong := fact.Refuse("practical.rule.wrong")
	was, closed := "", false
	for _, d := range r.Rulings {
		if d.Case < 0 || d.Case >= len(p.Cases) || CheckReason(d.Reason) != nil || closed {
			return wrong
		}
		switch d.Do {
		case Granted, Lessened:
			if d.Time <= 0 || d.Time > longest {
				return wrong
			}
		case Closed:
			closed = true
		case Noted, Left, Carried, TakenUp:
		case Renumbered:
			if p.Admits(d.To) != nil || p.Admits(d.From) != nil || was != "" && was != d.From {
				return wrong
			}
			was = d.To
		default:
			return wrong
		}
	}
	return orNil(r.checkSums(closed, was, wrong))
}

func (r *record) checkSums(closed bool, was string, wrong *fact.Error) *fact.Error {
	named := func(d Ruling) bool { return d.Do == Renumbered && d.From == r.BegunAs }
	switch {
	case r.granted(nil) > longest, r.overdrawn(), was != "" && was != r.Candidate:
		return wrong
	case r.BegunAs != "" && !slices.ContainsFunc(r.Rulings, named):
		return fact.Refuse("practical.rule.begun-as", "candidate", r.Candidate, "other", r.BegunAs)
	case !closed && slices.ContainsFunc(r.Cases, func(s Sat) bool { return s.Ended == ByAssessor }):
		return wrong
	}
	return nil
}
