package room

import (
	"bytes"
	"sync"
	"time"

	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/host/store"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/sim/sitting"
)

// seat is a candidate's place. Its lock is taken after the room's.
type seat struct {
	r         *Room
	candidate string

	mu              sync.Mutex
	ticket, session []byte // hashes of what lets in
	tab             string
	attempt         *practical.Attempt
	open            *open // the case that was begun last; nil before, or until it is read again
	time            spell
}

// open is a case that was begun.
type open struct {
	place int // in the candidate's order, from 1
	at    store.Place
	chair *chair.Local
	ids   []string // of the requests that each event came of
	next  string   // of the request that is being done
}

var (
	_ practical.Keep = (*seat)(nil)
	_ chair.Log      = log{}
)

// seatOf is a seat as it was kept: a case that was under way goes on.
func (r *Room) seatOf(k store.Seat, now time.Time) (*seat, error) {
	s := &seat{r: r, candidate: k.Candidate, ticket: k.Ticket, session: k.Session, tab: k.Tab, attempt: &practical.Attempt{}}
	if k.Record == nil {
		return s, nil
	}
	var err error
	if s.attempt, err = practical.Reopen(s, now); err != nil {
		return nil, err
	}
	if err := s.attempt.Allow(r.plan, now); err != nil {
		return nil, err
	}
	s.time.wall = now
	return s, nil
}

// Record implements practical.Keep.
func (s *seat) Record() ([]byte, error) {
	k, err := s.r.store.Seat(s.r.plan.ID, s.candidate)
	return k.Record, err
}

// Result implements practical.Keep.
func (s *seat) Result() ([]byte, error) {
	k, err := s.r.store.Seat(s.r.plan.ID, s.candidate)
	return k.Result, err
}

// SetResult implements practical.Keep.
func (s *seat) SetResult(data []byte) error {
	return s.r.store.SetResult(s.r.plan.ID, s.candidate, data)
}

// SetRecord implements practical.Keep.
func (s *seat) SetRecord(data []byte) error {
	return s.r.store.SetRecord(s.r.plan.ID, s.candidate, data)
}

// Log implements practical.Keep.
func (s *seat) Log(i int) ([]byte, error) {
	lines, err := s.r.store.Lines(s.at(i))
	if err != nil {
		return nil, err
	}
	var text []byte
	for _, l := range lines {
		text = append(text, l.Text...)
	}
	return text, nil
}

func (s *seat) at(i int) store.Place {
	return store.Place{Practical: s.r.plan.ID, Candidate: s.candidate, Case: i}
}

// patient brings the patient of a case, with all that was done already.
func (s *seat) patient(i, place int) (*open, error) {
	lines, err := s.r.store.Lines(s.at(i))
	if err != nil {
		return nil, err
	}
	o := &open{place: place, at: s.at(i)}
	c, h := s.r.plan.Patient(i), s.r.plan.Entry(s.candidate).Header(i)
	book := log{o, s.r.store}
	if len(lines) == 0 {
		return o, s.r.with(i, h.Keys, func(p *sitting.Sitting) (err error) {
			o.chair, err = chair.BeginWith(p, c, h, book)
			return err
		})
	}
	var text []byte
	for _, l := range lines {
		text, o.ids = append(text, l.Text...), append(o.ids, l.ID)
	}
	rec, err := sitting.ReadLog(bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	return o, s.r.with(i, h.Keys, func(p *sitting.Sitting) (err error) {
		o.chair, err = chair.ResumeWith(p, c, rec, book)
		return err
	})
}

// log is where the lines of an open case are kept; it implements chair.Log.
type log struct {
	o *open
	s store.Store
}

// Append implements chair.Log: a line is the header, or the event of the request
// that is being done.
func (l log) Append(line []byte) error {
	o := l.o
	if err := l.s.Append(o.at, store.Line{N: len(o.ids), ID: o.next, Text: bytes.Clone(line)}); err != nil {
		return err
	}
	o.ids = append(o.ids, o.next)
	return nil
}

// Truncate implements chair.Log: nothing is left of a line that was not kept.
func (log) Truncate(int64) error { return nil }

// events are the events of an open case from a number on, as they are told.
func (o *open) events(from int) []wire.Event {
	told := o.chair.Talk()
	all := make([]wire.Event, 0, max(0, len(told)-from+1))
	for _, t := range told[from-1:] {
		e := t.Event
		all = append(all, wire.Event{N: e.N, At: e.At, Action: e.Action, Answer: e.Answer, Rows: t.After.Rows})
	}
	return all
}
