package practical

import (
	"math"
	"strings"
	"time"

	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// Sheet is what one candidate's result comes to.
type Sheet struct {
	Candidate     string         `json:"candidate"`
	File          string         `json:"file"`
	Code          string         `json:"code"` // to be compared with the one on paper
	Simulated     bool           `json:"simulated,omitempty"`
	Extra         float64        `json:"extra,omitempty"` // more time, as a share
	Started       time.Time      `json:"started"`
	Elapsed       time.Duration  `json:"elapsed"`
	Times         Times          `json:"times"`
	Late          []fact.Fact    `json:"late,omitempty"`   // why it is late
	Doubts        []fact.Fact    `json:"doubts,omitempty"` // what cannot be true of its times
	Interruptions []Interruption `json:"interruptions,omitempty"`
	Rulings       []Ruling       `json:"rulings,omitempty"`
	BegunAs       string         `json:"begunAs,omitempty"` // the number whose luck the patients had; "": the candidate's
	Jumps         []Jump         `json:"jumps,omitempty"`
	Cases         []CaseMark     `json:"cases"`    // in the order of the plan
	Points        float64        `json:"points"`   // of the cases that count
	Most          float64        `json:"most"`     // likewise
	AsMarked      float64        `json:"asMarked"` // in all cases by the practical's own scheme, before any decision
}

// Granted is the time that was granted on the day, in all.
func (s *Sheet) Granted() time.Duration { return (&record{Rulings: s.Rulings}).granted(nil) }

// Entry is what the candidate got of the practical.
func (s *Sheet) Entry(p *Plan) Entry {
	return (&record{Candidate: s.Candidate, BegunAs: s.BegunAs}).entry(p)
}

// CaseMark is what one case of a candidate comes to.
type CaseMark struct {
	Points    float64           `json:"points"`
	Most      float64           `json:"most"`
	AsMarked  float64           `json:"asMarked"` // by the practical's own scheme, before any decision
	Ended     string            `json:"ended"`    // "" when it was not begun
	Elapsed   time.Duration     `json:"elapsed"`
	Begun     time.Time         `json:"begun,omitzero"` // by the clock of the station; zero where that is not told, as the next
	Until     time.Time         `json:"until,omitzero"` // when it was handed in
	Truth     string            `json:"truth"`
	EndPoint  string            `json:"endPoint,omitempty"`
	Acuity    *float64          `json:"acuity,omitempty"` // logMAR, as stated
	Steps     int               `json:"steps,omitempty"`
	Verdict   fact.Fact         `json:"verdict,omitzero"`
	Parts     []scoring.Part    `json:"parts,omitempty"`
	FromCard  *scoring.FromCard `json:"fromCard,omitempty"` // absent where the answers leave a claim open
	Findings  []string          `json:"findings,omitempty"` // their IDs
	Withdrawn bool              `json:"withdrawn,omitempty"`
	Reason    string            `json:"reason,omitempty"` // of an override of the points
}

// Altered says that a result holds what its case would not have given.
type Altered struct {
	Case  int // from 1, in the order of the plan
	Title string
	Err   error
}

// Tell is which case was altered.
func (a *Altered) Tell() fact.Fact {
	return fact.New("practical.altered", "n", fact.Count(a.Case), "title", a.Title, "cause", a.Err)
}

// Error is for programmers.
func (a *Altered) Error() string { return a.Tell().String() }

// Unwrap is what the replay said.
func (a *Altered) Unwrap() error { return a.Err }

// Marker marks the results of a plan, one after the other.
type Marker struct {
	plan   *Plan
	scheme *Plan // whose schemes count
	seats  []*sitting.Sitting
	pars   []*scoring.Par
}

// NewMarker is a marker by the plan's own schemes, or by those of another plan
// with the same cases, such as Remarked gives.
func NewMarker(p, by *Plan) *Marker {
	return &Marker{p, by, make([]*sitting.Sitting, len(p.Cases)), make([]*scoring.Par, len(p.Cases))}
}

// Remarked is the plan with another marking scheme, given as the text of its
// file.
func Remarked(p *Plan, scheme string) (*Plan, error) {
	other := *p
	other.Marking = scheme
	return &other, other.complete()
}

// seat is a sitting with the patient of case i, to be begun again from.
func (m *Marker) seat(i int) *sitting.Sitting {
	if m.seats[i] == nil {
		m.seats[i] = sitting.Start(m.plan.read[i].Setup(), sitting.Seeded(1))
	}
	return m.seats[i]
}

func (m *Marker) par(i int) (scoring.Par, error) {
	if m.pars[i] == nil {
		par, err := scoring.ParOf(m.plan.read[i], scoring.ParSeeds)
		if err != nil {
			return par, err
		}
		m.pars[i] = &par
	}
	return *m.pars[i], nil
}

// Mark does everything in a record again and marks it. The error is an
// *Altered when an answer is not the one that the case gives.
func (m *Marker) Mark(done *Record) (*Sheet, error) {
	r := &done.in
	out := &Sheet{
		Candidate: r.Candidate, Code: code(r), Simulated: r.Simulated, Extra: m.plan.Extra[r.Candidate], Started: r.Started, Elapsed: r.elapsed(), Times: r.times(),
		Late: r.late(m.plan), Interruptions: r.Interruptions, Rulings: r.Rulings, BegunAs: r.BegunAs, Jumps: r.Jumps, Cases: make([]CaseMark, len(m.plan.Cases)),
	}
	for i := range out.Cases {
		c := m.plan.read[i]
		s := m.scheme.Scheme(i)
		out.Cases[i] = CaseMark{
			Truth: c.Of(c.Tested).Error.ASCII(),
			Most:  hundredth(s.Total()),
		}
	}
	for _, s := range r.Cases {
		if err := m.mark(&out.Cases[s.Case], s); err != nil {
			return nil, err
		}
	}
	out.sum()
	return out, nil
}

func (m *Marker) mark(c *CaseMark, sat Sat) error {
	i := sat.Case
	rec, err := sitting.ReadLog(strings.NewReader(sat.Log))
	if err != nil {
		return &Altered{i + 1, m.plan.Cases[i].Title, err}
	}
	s := m.seat(i).Again(rec.Header.Keys)
	if err := s.Redo(rec.Events); err != nil {
		return &Altered{i + 1, m.plan.Cases[i].Title, err}
	}
	par, err := m.par(i)
	if err != nil {
		return err
	}
	rep, err := scoring.ReviewBy(m.scheme.Scheme(i), m.scheme.MarkedBy(i), s, par)
	if err != nil {
		return err
	}
	c.AsMarked = float64(rep.Total)
	if m.scheme != m.plan {
		own, err := scoring.ReviewBy(m.plan.Scheme(i), m.plan.MarkedBy(i), s, par)
		if err != nil {
			return err
		}
		c.AsMarked = float64(own.Total)
	}
	c.Points, c.Parts, c.Ended, c.Elapsed = float64(rep.Total), rep.Parts, sat.Ended, sat.Elapsed
	c.Begun, c.Until = sat.Begun, sat.Until
	if rep.Mark != nil {
		c.Acuity = (*float64)(rep.Mark.StatedAcuity)
		c.EndPoint, c.Verdict = rep.Mark.EndPoint.ASCII(), rep.Mark.Verdict()
	}
	c.FromCard = rep.FromCard
	c.Steps = s.Steps().Total()
	for _, f := range rep.Findings {
		c.Findings = append(c.Findings, f.ID)
	}
	return nil
}

// sum adds up the cases that count.
func (s *Sheet) sum() {
	s.Points, s.Most, s.AsMarked = 0, 0, 0
	for _, c := range s.Cases {
		s.AsMarked += c.AsMarked
		if !c.Withdrawn {
			s.Points, s.Most = s.Points+c.Points, s.Most+c.Most
		}
	}
	s.Points, s.Most, s.AsMarked = hundredth(s.Points), hundredth(s.Most), hundredth(s.AsMarked)
}

func hundredth(v float64) float64 { return math.Round(v*100)/100 + 0 }

// grace is what a station may take to notice that the time is up: the project's
// choice.
const grace = 2 * time.Second

// late says why a record is late.
func (r *record) late(p *Plan) (why []fact.Fact) {
	if begun := r.firstBegun(); !p.Closes.IsZero() && begun.After(p.Closes) {
		why = append(why, fact.New("practical.late-begun", "begun", stamp(begun), "closed", stamp(p.Closes)))
	}
	for _, s := range r.Cases {
		perCase, _ := r.allowed(p, s.Case)
		if perCase > 0 && s.Elapsed > perCase+grace {
			why = append(why, fact.New("practical.late-case", "n", fact.Count(s.Case+1), "taken", seconds(s.Elapsed), "allowed", seconds(perCase)))
		}
	}
	_, total := r.allowed(p, 0)
	if spent := r.spent(p); total > 0 && spent > total+grace {
		why = append(why, fact.New("practical.late-all", "taken", seconds(spent), "allowed", seconds(total)))
	}
	return why
}

// firstBegun is when the first case was begun; zero when none was. Where that is not told
// it is when the candidate was admitted.
func (r *record) firstBegun() time.Time {
	switch {
	case len(r.Cases) == 0:
		return time.Time{}
	case r.Cases[0].Begun.IsZero():
		return r.Started
	}
	return r.Cases[0].Begun
}

func seconds(d time.Duration) fact.Seconds { return fact.Seconds(d.Seconds()) }

func stamp(t time.Time) string { return t.Format("2006-01-02 15:04:05 -0700") }
