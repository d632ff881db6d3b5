package practical

import (
	"encoding/json"
	"slices"
	"time"

	"conoid/sim/fact"
)

// State is how far an attempt has come: [Entering], [Ready], [Examining], [Held],
// [Interrupted] or [Over]. Each knows just what there is to know in it, so that
// there is, for example, no time left of a case that nobody began. A State is
// as the attempt was when it was asked for.
type State interface {
	fact.Named
	state()
}

// Entering: nobody was admitted yet.
type Entering struct{}

// Ready: a candidate is there, and a case comes next.
type Ready struct{ admitted }

// Examining: a case is under way, and its time runs.
type Examining struct {
	admitted
	open Sat // without its log, which whoever examines writes
}

// Held: the assessor has the time stand still, before a case or in one.
type Held current

// Interrupted: the station stopped, and the assessor has to let the candidate
// go on.
type Interrupted struct {
	keep Keep
	rec  record // as it was kept, without logs
	at   time.Time
}

// Over: everything was handed in, and the result is kept.
type Over struct {
	admitted        // its cases are none where what is kept of them is no longer what was handed in
	file     []byte // the result, as it is kept
	code     string // of it
}

// admitted is a candidate who may sit a practical.
type admitted struct {
	plan   *Plan
	keep   Keep
	rec    record // its cases are over, and have their logs
	clock  clock
	unkept time.Duration // passed since the record was kept
}

func (Entering) state()    {}
func (Ready) state()       {}
func (Examining) state()   {}
func (Held) state()        {}
func (Interrupted) state() {}
func (Over) state()        {}

// Name is the ID of the words for the state.
func (Entering) Name() string    { return "practical.state.entering" }
func (Ready) Name() string       { return "practical.state.ready" }
func (Examining) Name() string   { return "practical.state.examining" }
func (Held) Name() string        { return "practical.state.held" }
func (Interrupted) Name() string { return "practical.state.interrupted" }
func (Over) Name() string        { return "practical.state.over" }

// Plan is the practical.
func (s admitted) Plan() *Plan { return s.plan }

// Candidate is the candidate's number.
func (s admitted) Candidate() string { return s.rec.Candidate }

// Entry is what the candidate gets of the practical.
func (s admitted) Entry() Entry { return s.rec.entry(s.plan) }

// Spent is the time used for the cases that are over, and for what lies between
// them where the practical counts it.
func (s admitted) Spent() time.Duration { return s.rec.spent(s.plan) }

// Cut is the place of the case before, from 1, if its time was up, and whether that was the
// time in all; 0 where it was not.
func (s admitted) Cut() (place int, whole bool) {
	n := len(s.rec.Cases)
	if n == 0 || s.rec.Cases[n-1].Ended != TimedUp {
		return 0, false
	}
	_, total := s.rec.allowed(s.plan, s.rec.Cases[n-1].Case)
	return n, total > 0 && s.Spent() >= total
}

// Case is the case that comes next, as an index of the plan's Cases.
func (s Ready) Case() int { return s.next() }

// Times are the times that there are for the next case and in all, with what was
// granted; 0 is no limit.
func (s Ready) Times() (perCase, total time.Duration) { return s.rec.allowed(s.plan, s.next()) }

// Place is the place of the next case in the candidate's order, from 1.
func (s Ready) Place() int { return len(s.rec.Cases) + 1 }

// Case is the case under way, as an index of the plan's Cases.
func (s Examining) Case() int { return s.open.Case }

// Place is the place of the case under way in the candidate's order, from 1.
func (s Examining) Place() int { return len(s.rec.Cases) + 1 }

// Times are the times that there are for the case under way and in all, with what was
// granted; 0 is no limit.
func (s Examining) Times() (perCase, total time.Duration) {
	return s.rec.allowed(s.plan, s.open.Case)
}

// Elapsed is the time used for the case under way, interruptions left out.
func (s Examining) Elapsed() time.Duration { return s.open.Elapsed }

// Left is the time that is left for the case under way, with which the total is
// taken into account; false is no limit.
func (s Examining) Left() (time.Duration, bool) {
	perCase, total := s.Times()
	return left(perCase, total, s.Spent()+s.plan.pause(s.open.Before), s.open.Elapsed)
}

// AllUp reports whether the time in all is up, and not only that for the case.
func (s Examining) AllUp() bool {
	_, total := s.Times()
	return total > 0 && s.Spent()+s.plan.pause(s.open.Before)+s.open.Elapsed >= total
}

// Whole reports whether the time in all is what runs out: with that for the case, or before it.
func (s Examining) Whole() bool {
	perCase, total := s.Times()
	return total > 0 && (perCase == 0 || total-s.Spent()-s.plan.pause(s.open.Before) <= perCase)
}

// warnings are with how much time left a candidate is warned, the least first: the
// project's choice.
var warnings = [...]time.Duration{time.Minute, 5 * time.Minute}

// Warning is the time with which the candidate was to be warned last; false when
// none was due yet. With no more than that to begin with, none is.
func (s Examining) Warning() (time.Duration, bool) {
	left, limited := s.Left()
	if !limited {
		return 0, false
	}
	return WarningOf(left, s.open.Elapsed)
}

// WarningOf is the warning of a case for which so much time is left, and so much was
// used.
func WarningOf(left, elapsed time.Duration) (time.Duration, bool) {
	for _, w := range warnings {
		if left <= w && w < left+elapsed {
			return w, true
		}
	}
	return 0, false
}

// Up reports whether the time for the case under way is over.
func (s Examining) Up() bool {
	left, limited := s.Left()
	return limited && left == 0
}

// Why is the assessor's reason that the time stands still.
func (s Held) Why() string { return s.rec.Held.Reason }

// Behind is the state that the time stands still in: [Ready] or [Examining].
func (s Held) Behind() State {
	if s.open != nil {
		return Examining{s.admitted, *s.open}
	}
	return Ready{s.admitted}
}

// Since is when it stopped, by the clock of the station.
func (s Held) Since() time.Time { return s.rec.Held.From }

// Open is the case under way, as an index of the plan's Cases, and its place in the
// candidate's order, from 1; false before a case.
func (s Held) Open() (i, place int, is bool) {
	if s.open == nil {
		return 0, 0, false
	}
	return s.open.Case, len(s.rec.Cases) + 1, true
}

// Candidate is the number of the candidate who was interrupted.
func (s Interrupted) Candidate() string { return s.rec.Candidate }

// Seen is the last sign of life before it, by the station's clock; zero when all was over.
func (s Interrupted) Seen() time.Time { return s.rec.Seen }

// Ended reports whether all was over: nothing was left to interrupt but looking at the code.
func (s Interrupted) Ended() bool { return !s.rec.Ended.IsZero() }

// Held is why the time stood still when the station stopped; false where it ran.
func (s Interrupted) Held() (Hold, bool) {
	if s.rec.Held == nil {
		return Hold{}, false
	}
	return *s.rec.Held, true
}

// Entry is what the candidate gets of the practical.
func (s Interrupted) Entry(p *Plan) Entry { return s.rec.entry(p) }

// Begun is how many cases had been begun.
func (s Interrupted) Begun() int { return len(s.rec.Cases) }

// Open is the case that was under way when the station stopped, as an index of
// Cases of the plan, and its place in the candidate's order, from 1. False when
// there is none that p can have had there.
func (s Interrupted) Open(p *Plan) (i, place int, is bool) {
	order, n := s.Entry(p).Order(), len(s.rec.Cases)
	if n == 0 || n > len(order) || s.rec.Cases[n-1].Ended != "" || s.rec.Cases[n-1].Case != order[n-1] {
		return 0, 0, false
	}
	return order[n-1], n, true
}

// Record is all that the candidate did.
func (s Over) Record() *Record { return &Record{s.rec} }

// Closed is the ruling by which the assessor closed the attempt early; false when nobody
// did.
func (s Over) Closed() (Ruling, bool) {
	if n := len(s.rec.Rulings); n > 0 && s.rec.Rulings[n-1].Do == Closed {
		return s.rec.Rulings[n-1], true
	}
	return Ruling{}, false
}

// Code is the short code of the result, for the candidate to sign on paper. It
// was worked out once, before it was shown to anybody.
func (s Over) Code() string { return s.code }

// next is the case that comes next, as an index of the plan's Cases.
func (s admitted) next() int { return s.Entry().Order()[len(s.rec.Cases)] }

// more reports whether another case can come.
func (s admitted) more() bool {
	if !s.rec.Ended.IsZero() || len(s.rec.Cases) == len(s.plan.Cases) {
		return false
	}
	perCase, total := s.rec.allowed(s.plan, s.next())
	left, limited := left(perCase, total, s.Spent(), 0)
	return !limited || left > 0
}

// over keeps the record, makes the result of it, and keeps that: whoever has seen
// a code has a result that is kept. One that is kept already stays.
func (s admitted) over() (Over, error) {
	data, err := s.keep.Result()
	if err != nil {
		return Over{}, fact.Because(err, "practical.record-unread")
	}
	if data == nil {
		if data, err = s.result(); err != nil {
			return Over{}, err
		}
	}
	return s.with(data)
}

// result makes the result, after the record is kept, and keeps it.
func (s admitted) result() ([]byte, error) {
	if err := s.store(); err != nil {
		return nil, err
	}
	data, err := s.plan.Result(&Record{s.rec})
	if err != nil {
		return nil, err
	}
	if err := s.keep.SetResult(data); err != nil {
		return nil, fact.Because(err, "practical.not-kept")
	}
	return data, nil
}

// with is the end with a result that is kept.
func (s admitted) with(result []byte) (Over, error) {
	is, err := s.plan.codeOf(result, s.rec.Candidate)
	if err != nil {
		return Over{}, err
	}
	if is != code(&s.rec) {
		s.rec.Cases = nil // something else was kept since
	}
	return Over{s, result, is}, nil
}

// finished is the end of an attempt whose result is kept; nil when none is.
func (s Interrupted) finished(p *Plan) (*Over, error) {
	data, err := s.keep.Result()
	if err != nil {
		return nil, fact.Because(err, "practical.record-unread")
	}
	if data == nil {
		return nil, nil
	}
	b := admitted{plan: p, keep: s.keep, rec: s.rec}
	if b.readLogs() != nil {
		b.rec.Cases = nil
	}
	over, err := b.with(data)
	return &over, err
}

// store keeps the record, with a case that is open. Logs are kept by whoever
// writes them.
func (s admitted) store(open ...Sat) error {
	rec := s.rec
	if rec.Ended.IsZero() {
		rec.Seen = s.clock.wall
	}
	rec.Cases = slices.Concat(s.rec.Cases, open)
	for i := range rec.Cases {
		rec.Cases[i].Log = ""
	}
	data, err := json.Marshal(rec)
	if err == nil {
		err = s.keep.SetRecord(data)
	}
	if err != nil {
		return fact.Because(err, "practical.not-kept")
	}
	return nil
}
