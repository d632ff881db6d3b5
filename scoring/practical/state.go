package practical

import (
	"encoding/json"
	"slices"
	"time"

	"conoid/sim/fact"
)

// State is how far an attempt has come: [Entering], [Ready], [Examining],
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
	open Sat           // without its log, which whoever examines writes
	wall time.Time     // the station's clock at the last tick
	kept time.Duration // of the open case, as it was kept last
}

// Interrupted: the station stopped, and the assessor has to let the candidate
// go on.
type Interrupted struct {
	keep Keep
	rec  record // as it was kept, without logs
	at   time.Time
}

// Over: everything was handed in.
type Over struct{ admitted }

// admitted is a candidate who may sit a practical.
type admitted struct {
	plan *Plan
	keep Keep
	rec  record // its cases are over, and have their logs
}

func (Entering) state()    {}
func (Ready) state()       {}
func (Examining) state()   {}
func (Interrupted) state() {}
func (Over) state()        {}

// Name is the ID of the words for the state.
func (Entering) Name() string    { return "practical.state.entering" }
func (Ready) Name() string       { return "practical.state.ready" }
func (Examining) Name() string   { return "practical.state.examining" }
func (Interrupted) Name() string { return "practical.state.interrupted" }
func (Over) Name() string        { return "practical.state.over" }

// Plan is the practical.
func (s admitted) Plan() *Plan { return s.plan }

// Candidate is the candidate's number.
func (s admitted) Candidate() string { return s.rec.Candidate }

func (s admitted) entry() Entry { return s.plan.Entry(s.rec.Candidate) }

// Spent is the time used for the cases that are over.
func (s admitted) Spent() time.Duration { return s.rec.elapsed() }

// Case is the case that comes next, as an index of the plan's Cases.
func (s Ready) Case() int { return s.entry().Order()[len(s.rec.Cases)] }

// Place is the place of the next case in the candidate's order, from 1.
func (s Ready) Place() int { return len(s.rec.Cases) + 1 }

// Case is the case under way, as an index of the plan's Cases.
func (s Examining) Case() int { return s.open.Case }

// Place is the place of the case under way in the candidate's order, from 1.
func (s Examining) Place() int { return len(s.rec.Cases) + 1 }

// Elapsed is the time used for the case under way, interruptions left out.
func (s Examining) Elapsed() time.Duration { return s.open.Elapsed }

// Left is the time that is left for the case under way, with which the total is
// taken into account; false is no limit.
func (s Examining) Left() (time.Duration, bool) {
	return s.entry().left(s.Spent(), s.open.Elapsed)
}

// Up reports whether the time for the case under way is over.
func (s Examining) Up() bool {
	left, limited := s.Left()
	return limited && left == 0
}

// Candidate is the number of the candidate who was interrupted.
func (s Interrupted) Candidate() string { return s.rec.Candidate }

// Begun is how many cases had been begun.
func (s Interrupted) Begun() int { return len(s.rec.Cases) }

// Open is the case that was under way when the station stopped, as an index of
// Cases of the plan, and its place in the candidate's order, from 1. False when
// there is none that p can have had there.
func (s Interrupted) Open(p *Plan) (i, place int, is bool) {
	order, n := p.Entry(s.rec.Candidate).Order(), len(s.rec.Cases)
	if n == 0 || n > len(order) || s.rec.Cases[n-1].Ended != "" || s.rec.Cases[n-1].Case != order[n-1] {
		return 0, 0, false
	}
	return order[n-1], n, true
}

// Record is all that the candidate did.
func (s Over) Record() *Record { return &Record{s.rec} }

// onward is the state when no case is open: the next case, or the end, which is
// at the time given.
func (s admitted) onward(at time.Time) State {
	if s.rec.Ended.IsZero() && len(s.rec.Cases) < len(s.plan.Cases) {
		if left, limited := s.entry().left(s.Spent(), 0); !limited || left > 0 {
			return Ready{s}
		}
	}
	if s.rec.Ended.IsZero() {
		s.rec.Ended = at.Round(0)
	}
	return Over{s}
}

// store keeps the record, with a case that is open. Logs are kept by whoever
// writes them.
func (s admitted) store(open ...Sat) error {
	rec := s.rec
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
