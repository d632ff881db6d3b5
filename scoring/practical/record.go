package practical

import (
	"encoding/json"
	"slices"
	"strings"
	"time"

	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// Record is what one candidate did. It can only be read: an [Attempt] makes it.
// It has no truth in it.
type Record struct{ in record }

// Candidate is the candidate's number.
func (r *Record) Candidate() string { return r.in.Candidate }

// Started is when the candidate was admitted, by the clock of the station.
func (r *Record) Started() time.Time { return r.in.Started }

// Cases are the cases in the order in which they were sat.
func (r *Record) Cases() []Sat { return slices.Clone(r.in.Cases) }

// Carried reports whether it went from one station to another.
func (r *Record) Carried() bool {
	return slices.ContainsFunc(r.in.Rulings, func(d Ruling) bool { return d.Do == Carried })
}

// Code is the short code of the record, for the candidate to sign on paper: of
// its whole content, and so of the heads of all its logs. A record that is
// changed afterwards has another code.
func (r *Record) Code() string { return code(&r.in) }

// The versions of records that this package knows: it writes the last, and reads
// those from the first on.
const (
	recordVersion = 4
	oldestRecord  = 2
)

// record is a record as it is kept while it grows, and as a result holds it.
type record struct {
	Version       int            `json:"version"`   // recordVersion, or an older one
	Practical     string         `json:"practical"` // its ID
	Candidate     string         `json:"candidate"`
	Simulated     bool           `json:"simulated,omitempty"` // no person sat it
	Started       time.Time      `json:"started"`             // by the clock of the station
	Ended         time.Time      `json:"ended,omitzero"`      // likewise; zero until it is over
	Cases         []Sat          `json:"cases"`               // in the order in which they were sat
	Interruptions []Interruption `json:"interruptions,omitempty"`
	Rulings       []Ruling       `json:"rulings,omitempty"` // none before version 4, as the two below
	BegunAs       string         `json:"begunAs,omitempty"` // the number from which order and luck follow, where it is not Candidate
	Held          *Hold          `json:"held,omitempty"`    // the time stands still
	Jumps         []Jump         `json:"jumps,omitempty"`
	Slow          time.Duration  `json:"slow,omitempty"`   // by which the program's own clock fell behind the station's, the jumps left out
	Waited        time.Duration  `json:"waited,omitempty"` // passed since the last case was handed in
	Seen          time.Time      `json:"seen,omitzero"`    // the last sign of life, by the clock of the station; zero when it is over
}

// readRecord reads a record of this version. What is in it is not checked.
func readRecord(data []byte, r *record) error {
	var v struct{ Version int }
	if err := json.Unmarshal(data, &v); err != nil {
		return fact.Because(err, "practical.record-damaged")
	}
	if v.Version < oldestRecord || v.Version > recordVersion {
		return fact.Refuse("practical.record-version", "version", fact.Count(v.Version), "from", fact.Count(oldestRecord), "reads", fact.Count(recordVersion))
	}
	if err := strict(data, r); err != nil {
		return fact.Because(err, "practical.record-damaged")
	}
	return nil
}

// Sat is one case as it was sat.
type Sat struct {
	Case    int           `json:"case"`    // index in the plan
	Log     string        `json:"log"`     // JSON Lines of package sitting
	Elapsed time.Duration `json:"elapsed"` // of the time for this case, interruptions left out
	Ended   string        `json:"ended,omitempty"`
	Bytes   int           `json:"bytes,omitempty"`  // of the log, as it was handed in; 0: as far as it goes
	Begun   time.Time     `json:"begun,omitzero"`   // by the clock of the station; zero in a record of version 2, as all below
	Until   time.Time     `json:"until,omitzero"`   // when it was handed in, likewise
	Before  time.Duration `json:"before,omitempty"` // passed between the case before and this one, interruptions left out
	Past    time.Duration `json:"past,omitempty"`   // passed after its time was up, and counts nowhere
	Set     time.Duration `json:"set,omitempty"`    // by which the station's clock was set in it, and which does not count: negative is back
}

// How a case ends. It is "" while it is open.
const (
	Stated     = "stated"   // the candidate stated the end point
	TimedUp    = "time"     // the time was up
	ByAssessor = "assessor" // the assessor closed the attempt
)

// Interruption is a stop of the station, or of the time by the assessor, from which
// the candidate went on.
type Interruption struct {
	Case    int           `json:"case"`              // index in the plan: the one under way, or the next one
	At      time.Time     `json:"at"`                // when the station was there again
	Elapsed time.Duration `json:"elapsed"`           // of the case when it stopped: what is kept
	Allowed time.Time     `json:"allowed,omitzero"`  // when the assessor let the candidate go on
	From    time.Time     `json:"from,omitzero"`     // the last sign of life before; zero in a record of version 2
	Between bool          `json:"between,omitempty"` // no case was under way
	Reason  string        `json:"reason,omitempty"`  // the assessor's, who had the time stand still; "": the station stopped
}

// Begun is when it began, as far as is known.
func (i Interruption) Begun() time.Time {
	if i.From.IsZero() {
		return i.At
	}
	return i.From
}

// Length is how long it was, until the candidate went on.
func (i Interruption) Length() time.Duration {
	if i.Allowed.IsZero() {
		return 0
	}
	return i.Allowed.Sub(i.Begun())
}

// Jump is a step of the station's clock against the time that really passed:
// somebody or something set it.
type Jump struct {
	At time.Time     `json:"at"`
	By time.Duration `json:"by"`
}

// spent is what counts of the time in all by a plan: that of the cases, and where
// the plan says so that between them.
func (r *record) spent(p *Plan) time.Duration {
	sum := r.elapsed() + p.pause(r.Waited)
	for _, s := range r.Cases {
		sum += p.pause(s.Before)
	}
	return sum
}

// pause is what counts of a time between cases.
func (p *Plan) pause(d time.Duration) time.Duration {
	if !p.CountPauses {
		return 0
	}
	return d
}

// elapsed is the time used in all cases, interruptions left out.
func (r *record) elapsed() time.Duration {
	var sum time.Duration
	for _, s := range r.Cases {
		sum += s.Elapsed
	}
	return sum
}

// Limits of a record.
const (
	mostInterruptions = 1000
	mostLog           = 4 << 20
	mostTime          = 2 * longest * mostExtra // of a case
)

// check says what is wrong with a record of a plan, apart from the answers
// in it.
func (r *record) check(p *Plan) error {
	switch {
	case r.Practical != p.ID:
		return fact.Refuse("practical.other-practical", "is", r.Practical, "of", p.ID)
	case r.Candidate != Candidate(r.Candidate):
		return fact.Refuse("practical.capitals", "candidate", r.Candidate, "capitals", Candidate(r.Candidate))
	case len(r.Cases) > len(p.Cases):
		return fact.Refuse("practical.more-cases", "n", fact.Count(len(r.Cases)), "most", fact.Count(len(p.Cases)))
	case len(r.Interruptions) > mostInterruptions || len(r.Jumps) > mostInterruptions:
		return fact.Refuse("practical.many-interruptions", "most", fact.Count(mostInterruptions))
	}
	if err := p.Admits(r.Candidate); err != nil {
		return err
	}
	if err := r.checkRulings(p); err != nil {
		return err
	}
	entry := r.entry(p)
	order := entry.Order()
	for i, s := range r.Cases {
		n := fact.Count(i + 1)
		switch {
		case s.Case != order[i]:
			return fact.Refuse("practical.case-order", "n", n)
		case !slices.Contains([]string{"", Stated, TimedUp, ByAssessor}, s.Ended):
			return fact.Refuse("practical.no-end", "n", n, "ended", s.Ended)
		case s.Ended == "" && i < len(r.Cases)-1:
			return fact.Refuse("practical.case-open", "n", n)
		case s.Elapsed < 0 || s.Elapsed > mostTime:
			return fact.Refuse("practical.case-time", "n", n, "time", fact.Seconds(s.Elapsed.Seconds()))
		case len(s.Log) > mostLog:
			return fact.Refuse("practical.log-large", "n", n, "bytes", fact.Count(len(s.Log)), "most", fact.Count(mostLog))
		}
		if err := entry.checkLog(s); err != nil {
			return fact.Because(err, "practical.case", "n", n)
		}
	}
	for _, i := range r.Interruptions {
		if i.Case < 0 || i.Case >= len(p.Cases) || i.Elapsed < 0 {
			return fact.Refuse("practical.interruption-case")
		}
	}
	return nil
}

// readLog reads the log of a case, and checks its chain and that it was begun as
// it had to be.
func (e Entry) readLog(s Sat) (*sitting.Record, error) {
	rec, err := sitting.ReadLog(strings.NewReader(s.Log))
	switch {
	case err != nil:
		return nil, err
	case rec.Torn:
		return nil, fact.Refuse("practical.log-torn")
	case rec.Header != e.Header(s.Case):
		return nil, fact.Refuse("practical.log-other")
	}
	return rec, nil
}

// checkLog checks a log and how the case ended.
func (e Entry) checkLog(s Sat) error {
	rec, err := e.readLog(s)
	if err == nil && ends(rec) != (s.Ended == Stated) {
		err = fact.Refuse("practical.end-differs", "ended", s.Ended)
	}
	return err
}
