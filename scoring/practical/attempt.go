package practical

import (
	"bytes"
	"slices"
	"time"

	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// Attempt is a candidate at a practical, from the door to the result. It owns
// the rules: who may begin, which case comes next, how the time runs and when
// it is up, what an interruption costs, when everything is over. It has no clock
// and no disk: times are given, and what has to outlive the machine goes to a
// [Keep]. When something cannot be kept it has not happened.
//
// The zero Attempt is [Entering]. Two clocks are given: the station's, which
// people read and can be set, and the time that really passed, which counts.
type Attempt struct{ now State }

// Keep is where one candidate's attempt is kept.
type Keep interface {
	Record() ([]byte, error)     // as it was kept last; nil when there is none
	SetRecord(data []byte) error // in place of the one before, all or nothing; kept when it returns
	Log(i int) ([]byte, error)   // of case i of the plan, as far as it was written; nil when there is none
	Result() ([]byte, error)     // the file for the assessor; nil while there is none
	SetResult(data []byte) error // all or nothing; kept when it returns
}

// mostLost is how much of the time may be lost when the machine dies: the project's
// choice.
const mostLost = time.Second

// State is how far the attempt has come.
func (a *Attempt) State() State {
	if a.now == nil {
		return Entering{}
	}
	return a.now
}

// notNow says that something cannot be done in this state.
func notNow(s State) error { return fact.Refuse("practical.not-now", "state", s) }

// Admit lets a candidate sit a practical who comes at a time of the station's
// clock. One of whom a record is kept does not begin anew: the attempt is then
// [Interrupted].
func (a *Attempt) Admit(p *Plan, candidate string, keep Keep, at time.Time) error {
	return a.admit(p, candidate, keep, at, false)
}

func (a *Attempt) admit(p *Plan, candidate string, keep Keep, at time.Time, simulated bool) error {
	if _, is := a.State().(Entering); !is {
		return notNow(a.State())
	}
	if err := p.Admits(candidate); err != nil {
		return err
	}
	before, err := interrupted(keep, at)
	if err != nil {
		return err
	}
	if before != nil {
		if before.Candidate() != Candidate(candidate) {
			return fact.Refuse("practical.other-candidate", "candidate", before.Candidate())
		}
		a.now = *before
		return nil
	}
	s := Ready{admitted{plan: p, keep: keep, clock: clock{wall: at.Round(0)}, rec: record{
		Version: recordVersion, Practical: p.ID, Candidate: Candidate(candidate), Simulated: simulated, Started: at.Round(0),
	}}}
	if err := s.store(); err != nil {
		return err
	}
	a.now = s
	return nil
}

// Begin begins the next case. Its patient is there already: the time runs from
// now on, and none has passed since the last tick.
func (a *Attempt) Begin(at time.Time) error {
	s, is := a.State().(Ready)
	if !is {
		return notNow(a.State())
	}
	if !s.more() {
		return fact.Refuse("practical.no-time")
	}
	now := Examining{admitted: s.admitted, open: Sat{Case: s.Case(), Begun: at.Round(0), Before: s.rec.Waited}}
	now.clock.wall, now.rec.Waited, now.unkept = at.Round(0), 0, 0
	if err := now.store(now.open); err != nil {
		return err
	}
	a.now = now
	return nil
}

// Tick lets time pass: the station's clock shows wall, and spent is what really
// passed since the last tick, as far as the program knows. It reports whether
// the time is up. The case under way is then to be handed in, after an action that
// is on its way; before a case, all is over. An error says that the time could
// not be kept; it runs all the same.
func (a *Attempt) Tick(wall time.Time, spent time.Duration) (up bool, err error) {
	switch s := a.State().(type) {
	case Examining:
		due := s.pass(wall, spent)
		if due {
			err = s.store(s.open)
		}
		a.now = s
		return s.Up(), err
	case Ready:
		due := s.pass(wall, spent)
		a.now = s
		if !s.more() {
			return true, a.onward(s.admitted, wall)
		}
		if due {
			err = s.store()
		}
		return false, err
	}
	return false, notNow(a.State())
}

// pass lets time pass in a case, up to its limit and not beyond. It reports whether
// it is to be kept.
func (s *Examining) pass(wall time.Time, spent time.Duration) (due bool) {
	went, due := s.admitted.tick(wall, spent)
	s.open.Set += went.set
	most := mostTime - s.open.Elapsed
	if left, limited := s.Left(); limited {
		most = min(left, most)
	}
	counts := min(went.passed, most)
	s.open.Elapsed += counts
	s.open.Past += went.passed - counts
	return due
}

// pass lets time pass between cases, of which that before the first is not one.
func (s *Ready) pass(wall time.Time, spent time.Duration) (due bool) {
	went, due := s.admitted.tick(wall, spent)
	n := len(s.rec.Cases)
	if n == 0 {
		return due
	}
	counts := went.passed
	if _, total := s.Times(); total > 0 && s.plan.CountPauses {
		counts = min(counts, max(0, total-s.Spent()))
	}
	s.rec.Waited += counts
	if past := went.passed - counts; past > 0 {
		s.rec.Cases = slices.Clone(s.rec.Cases)
		s.rec.Cases[n-1].Past += past
	}
	return due
}

// tick lets time pass by the clocks. It reports whether the record is to be kept
// again.
func (s *admitted) tick(wall time.Time, spent time.Duration) (went step, due bool) {
	went = s.clock.tick(wall, spent)
	if went.jump != 0 && len(s.rec.Jumps) < mostInterruptions {
		s.rec.Jumps, due = append(slices.Clip(s.rec.Jumps), Jump{At: s.clock.wall, By: went.jump}), true
	}
	s.rec.Slow = s.clock.behind()
	s.unkept += went.passed
	if s.unkept >= mostLost {
		s.unkept, due = 0, true
	}
	return went, due
}

// HandIn ends the case under way: as its log has it when the end point was
// stated, and as it stands when the time is up. Before, there is nothing to hand
// in. What comes then is the next case, or the end.
func (a *Attempt) HandIn(at time.Time) error {
	s, is := a.State().(Examining)
	if !is {
		return notNow(a.State())
	}
	sat := s.open
	log, stated, err := s.log(sat.Case, 0)
	switch {
	case err != nil:
		return err
	case log == "":
		return fact.Refuse("practical.no-log", "n", fact.Count(s.Place()))
	case stated:
		sat.Ended = Stated
	case s.Up():
		sat.Ended = TimedUp
	default:
		return fact.Refuse("practical.time-left")
	}
	sat.Log = log
	return a.done(s.admitted, sat, at)
}

// done puts a case to those that are over, and goes on from there.
func (a *Attempt) done(s admitted, sat Sat, at time.Time) error {
	sat.Bytes, sat.Until = len(sat.Log), at.Round(0)
	s.clock.wall = at.Round(0)
	s.rec.Cases = append(slices.Clip(s.rec.Cases), sat)
	return a.onward(s, at)
}

// onward goes on where no case is open: to the next one, or to the end, which is
// at the time given.
func (a *Attempt) onward(s admitted, at time.Time) error {
	if s.more() {
		if err := s.store(); err != nil {
			return err
		}
		a.now = Ready{s}
		return nil
	}
	if s.rec.Ended.IsZero() {
		s.rec.Ended, s.rec.Seen = at.Round(0), time.Time{}
	}
	over, err := s.over()
	if err != nil {
		return err
	}
	a.now = over
	return nil
}

// Reopen is the attempt of a candidate whose station stopped and is there again
// at a time of its clock.
func Reopen(keep Keep, at time.Time) (*Attempt, error) {
	s, err := interrupted(keep, at)
	if err == nil && s == nil {
		err = fact.Refuse("practical.no-record")
	}
	if err != nil {
		return nil, err
	}
	return &Attempt{*s}, nil
}

// interrupted is an attempt as it was kept; nil when there is none.
func interrupted(keep Keep, at time.Time) (*Interrupted, error) {
	data, err := keep.Record()
	if err != nil {
		return nil, fact.Because(err, "practical.record-unread")
	}
	if data == nil {
		return nil, nil
	}
	s := &Interrupted{keep: keep, at: at.Round(0)}
	return s, readRecord(data, &s.rec)
}

// Allow lets a candidate go on who was interrupted: the assessor has opened the
// practical. A case goes on with the time that had been left, and with all that
// its log has whole; the patient is there already. A case whose end point had
// been stated is handed in.
func (a *Attempt) Allow(p *Plan, at time.Time) error {
	s, is := a.State().(Interrupted)
	if !is {
		return notNow(a.State())
	}
	if over, err := s.finished(p); over != nil || err != nil {
		if err == nil {
			a.now = *over
		}
		return err
	}
	if r, is := s.Carried(); is {
		return fact.Refuse("practical.carried-away", "at", stamp(r.At))
	}
	b, open := s.back(p, at)
	if err := b.readLogs(); err != nil {
		return err
	}
	if err := b.rec.check(p); err != nil {
		return err
	}
	if open != nil {
		return a.goOn(b, *open, s.at, at)
	}
	if n := len(b.rec.Cases); b.more() {
		b.interrupted(Interruption{Case: b.Entry().Order()[n], At: s.at, Allowed: at.Round(0), Between: true})
	}
	return a.onward(b, at)
}

// back is an attempt that was interrupted as it can go on, and the case that was under
// way; nil for none.
func (s Interrupted) back(p *Plan, at time.Time) (b admitted, open *Sat) {
	b = admitted{plan: p, keep: s.keep, rec: s.rec, clock: clock{wall: at.Round(0), slow: s.rec.Slow}}
	if b.rec.Ended.IsZero() {
		b.rec.Version = recordVersion
	}
	b.rec.Cases = slices.Clone(b.rec.Cases)
	if n := len(b.rec.Cases); n > 0 && b.rec.Cases[n-1].Ended == "" {
		open, b.rec.Cases = &s.rec.Cases[n-1], b.rec.Cases[:n-1:n-1]
	}
	return b, open
}

// interrupted puts an interruption into the record: from the last sign of life on, or
// from when the time stood still.
func (s *admitted) interrupted(i Interruption) {
	i.From = s.rec.Seen
	if h := s.rec.Held; h != nil {
		i.From, i.Reason, s.rec.Held = h.From, h.Reason, nil
	}
	if len(s.rec.Interruptions) < mostInterruptions {
		s.rec.Interruptions = append(slices.Clip(s.rec.Interruptions), i)
	}
}

// readLogs reads the logs of the cases that are over, as they were handed in:
// what was written behind counts no more.
func (s *admitted) readLogs() error {
	s.rec.Cases = slices.Clone(s.rec.Cases)
	for i, sat := range s.rec.Cases {
		log, _, err := s.log(sat.Case, sat.Bytes)
		if (err != nil || log == "") && sat.Ended == ByAssessor { // nothing of it was whole
			err = s.salvage(&sat)
			log = sat.Log
		}
		if err != nil {
			return err
		}
		s.rec.Cases[i].Log = log
	}
	return nil
}

// goOn goes on with a case that was open when the station stopped.
func (a *Attempt) goOn(s admitted, open Sat, back, at time.Time) error {
	if order := s.Entry().Order(); len(s.rec.Cases) >= len(order) || open.Case != order[len(s.rec.Cases)] {
		return fact.Refuse("practical.case-order", "n", fact.Count(len(s.rec.Cases)+1))
	}
	log, stated, err := s.log(open.Case, 0)
	if err != nil {
		return err
	}
	s.interrupted(Interruption{Case: open.Case, At: back, Elapsed: open.Elapsed, Allowed: at.Round(0)})
	if stated {
		open.Log, open.Ended = log, Stated
		return a.done(s, open, at)
	}
	now := Examining{admitted: s, open: open}
	if err := now.store(open); err != nil {
		return err
	}
	a.now = now
	return nil
}

// log is the log of case i, without a line at its end that was cut off, and
// whether it says that the end point was stated. It is "" while nothing is
// whole. No more than most bytes are read; 0 is all.
func (s admitted) log(i, most int) (text string, stated bool, err error) {
	n := fact.Count(s.place(i))
	data, err := s.keep.Log(i)
	if err != nil {
		return "", false, fact.Because(err, "practical.case", "n", n)
	}
	if most > 0 && len(data) > most {
		data = data[:most]
	}
	end := bytes.LastIndexByte(data, '\n') + 1
	if end == 0 {
		return "", false, nil
	}
	text = string(data[:end])
	rec, err := s.Entry().readLog(Sat{Case: i, Log: text})
	if err != nil {
		return "", false, fact.Because(err, "practical.case", "n", n)
	}
	return text, ends(rec), nil
}

// place is the place of case i of the plan in the candidate's order, from 1.
func (s admitted) place(i int) int { return slices.Index(s.Entry().Order(), i) + 1 }

// ends reports whether a log says that the end point was stated.
func ends(rec *sitting.Record) bool {
	n := len(rec.Events)
	return n > 0 && rec.Events[n-1].Action.Do == sitting.End
}

// Result is the file for the assessor of an attempt that is over: sealed and
// signed, with no truth in it. It was made once, and stays the same.
func (a *Attempt) Result() ([]byte, error) {
	s, is := a.State().(Over)
	if !is {
		return nil, notNow(a.State())
	}
	return s.file, nil
}
