package practical

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"conoid/sim/sitting"
)

// Record is what one candidate did: what a station keeps while it runs, and the
// result when it is over. It has no truth in it.
type Record struct {
	Practical     string         `json:"practical"` // its ID
	Candidate     string         `json:"candidate"`
	Simulated     bool           `json:"simulated,omitempty"` // no person sat it
	Started       time.Time      `json:"started"`             // by the clock of the station
	Ended         time.Time      `json:"ended,omitzero"`      // likewise; zero until it is over
	Cases         []Sat          `json:"cases"`               // in the order in which they were sat
	Interruptions []Interruption `json:"interruptions,omitempty"`
	Jumps         []Jump         `json:"jumps,omitempty"`
}

// Sat is one case as it was sat.
type Sat struct {
	Case    int           `json:"case"`    // index in the plan
	Log     string        `json:"log"`     // JSON Lines of package sitting
	Elapsed time.Duration `json:"elapsed"` // of the time for this case, interruptions left out
	Ended   string        `json:"ended,omitempty"`
}

// How a case ends. It is "" while it is open.
const (
	Stated  = "stated" // the candidate stated the end point
	TimedUp = "time"   // the time was up
)

// Interruption is a stop of the station, from which the candidate went on.
type Interruption struct {
	Case    int           `json:"case"`             // index in the plan
	At      time.Time     `json:"at"`               // when the station was there again
	Elapsed time.Duration `json:"elapsed"`          // of the case when it stopped: what is kept
	Allowed time.Time     `json:"allowed,omitzero"` // when the assessor let the candidate go on
}

// Jump is a step of the station's clock against the time that really passed:
// somebody or something set it.
type Jump struct {
	At time.Time     `json:"at"`
	By time.Duration `json:"by"`
}

// Begin begins a candidate's record at a time of the station's clock.
func (p *Plan) Begin(candidate string, at time.Time) (*Record, error) {
	if err := p.Admits(candidate); err != nil {
		return nil, err
	}
	return &Record{Practical: p.ID, Candidate: Candidate(candidate), Started: at.Round(0)}, nil
}

// Next is the case that a candidate sits next, as an index of Cases; false when
// one is open, or all are over.
func (p *Plan) Next(r *Record) (int, bool) {
	if n := len(r.Cases); n >= len(p.Cases) || n > 0 && r.Cases[n-1].Ended == "" {
		return 0, false
	}
	return p.Order(r.Candidate)[len(r.Cases)], true
}

// Header begins the log of a candidate's case i.
func (p *Plan) Header(candidate string, i int) sitting.Header {
	return sitting.Header{Conoid: sitting.Version, Case: p.read[i].Hash(), Title: p.Cases[i].Title, Seed: p.Seed(candidate, i)}
}

// Elapsed is the time that a candidate used in all cases, interruptions left out.
func (r *Record) Elapsed() time.Duration {
	var sum time.Duration
	for _, s := range r.Cases {
		sum += s.Elapsed
	}
	return sum
}

// Left is the time that a candidate has left: for the case that is open or comes
// next, with which the total is taken into account. False is no limit.
func (p *Plan) Left(r *Record) (time.Duration, bool) {
	perCase, total := p.Times(r.Candidate)
	left, limited := perCase, perCase > 0
	if n := len(r.Cases); n > 0 && r.Cases[n-1].Ended == "" {
		left -= r.Cases[n-1].Elapsed
	}
	if total > 0 && (!limited || total-r.Elapsed() < left) {
		left, limited = total-r.Elapsed(), true
	}
	return max(left, 0), limited
}

// Resume makes a record whole that a station kept when it stopped: a line that
// was cut off at the end of the open log is taken away, and the interruption is
// put down. The candidate goes on after Allow. The error says what is wrong
// with the record.
func (p *Plan) Resume(r *Record, at time.Time) error {
	if n := len(r.Cases); n > 0 && r.Cases[n-1].Ended == "" {
		s := &r.Cases[n-1]
		rec, err := sitting.ReadLog(strings.NewReader(s.Log))
		switch {
		case err != nil && !strings.Contains(s.Log, "\n"): // nothing was begun
			r.Cases = r.Cases[:n-1]
		case err != nil:
			return fmt.Errorf("case %d: %w", n, err)
		default:
			s.Log = s.Log[:rec.Size]
		}
	}
	if err := p.check(r); err != nil {
		return err
	}
	i := Interruption{At: at.Round(0)}
	if n := len(r.Cases); n > 0 {
		i.Case, i.Elapsed = r.Cases[n-1].Case, r.Cases[n-1].Elapsed
	} else {
		i.Case = p.Order(r.Candidate)[0]
	}
	r.Interruptions = append(r.Interruptions, i)
	return nil
}

// Allow lets a candidate go on after the last interruption.
func (r *Record) Allow(at time.Time) {
	if n := len(r.Interruptions); n > 0 && r.Interruptions[n-1].Allowed.IsZero() {
		r.Interruptions[n-1].Allowed = at.Round(0)
	}
}

// Limits of a record.
const (
	mostInterruptions = 1000
	mostLog           = 4 << 20
)

// check says what is wrong with a record of this plan, apart from the answers
// in it.
func (p *Plan) check(r *Record) error {
	switch {
	case r.Practical != p.ID:
		return fmt.Errorf("it is of another practical, %s, and not of %s", r.Practical, p.ID)
	case r.Candidate != Candidate(r.Candidate):
		return fmt.Errorf("the candidate %q is not written in capitals", r.Candidate)
	case len(r.Cases) > len(p.Cases):
		return fmt.Errorf("there are %d cases, and the practical has %d", len(r.Cases), len(p.Cases))
	case len(r.Interruptions) > mostInterruptions || len(r.Jumps) > mostInterruptions:
		return fmt.Errorf("there are more than %d interruptions", mostInterruptions)
	}
	if err := p.Admits(r.Candidate); err != nil {
		return err
	}
	order := p.Order(r.Candidate)
	for n, s := range r.Cases {
		switch {
		case s.Case != order[n]:
			return fmt.Errorf("case %d is not the one that this candidate has there", n+1)
		case !slices.Contains([]string{"", Stated, TimedUp}, s.Ended):
			return fmt.Errorf("case %d ended by %q, which is no way to end", n+1, s.Ended)
		case s.Ended == "" && n < len(r.Cases)-1:
			return fmt.Errorf("case %d is still open, and another was begun", n+1)
		case s.Elapsed < 0 || s.Elapsed > 2*longest*mostExtra:
			return fmt.Errorf("case %d took %v, which cannot be", n+1, s.Elapsed)
		case len(s.Log) > mostLog:
			return fmt.Errorf("the log of case %d has %d bytes; allowed are %d", n+1, len(s.Log), mostLog)
		}
		if err := p.checkLog(r.Candidate, s); err != nil {
			return fmt.Errorf("case %d: %w", n+1, err)
		}
	}
	for _, i := range r.Interruptions {
		if i.Case < 0 || i.Case >= len(p.Cases) || i.Elapsed < 0 {
			return errors.New("an interruption is of a case that there is not")
		}
	}
	return nil
}

// checkLog checks the chain of a log, and that it was begun as it had to be.
func (p *Plan) checkLog(candidate string, s Sat) error {
	rec, err := sitting.ReadLog(strings.NewReader(s.Log))
	switch {
	case err != nil:
		return err
	case rec.Torn:
		return errors.New("the last line of the log is cut off")
	case rec.Header != p.Header(candidate, s.Case):
		return errors.New("the log was not begun with the patient and the seed that this candidate has")
	}
	n := len(rec.Events)
	stated := n > 0 && rec.Events[n-1].Action.Do == sitting.End
	if stated != (s.Ended == Stated) {
		return fmt.Errorf("it ended by %q, which is not what its log says", s.Ended)
	}
	return nil
}
