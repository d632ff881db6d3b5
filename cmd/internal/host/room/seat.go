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

// seat is a candidate's place.
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
	line  []byte   // is still to be kept
}

var (
	_ practical.Keep = kept{}
	_ chair.Log      = (*open)(nil)
)

// seatOf is a seat as it was kept: a case that was under way goes on.
func (r *Room) seatOf(k store.Seat, now time.Time) (*seat, error) {
	s := &seat{r: r, candidate: k.Candidate, ticket: k.Ticket, session: k.Session, tab: k.Tab, attempt: &practical.Attempt{}}
	if k.Record == nil {
		return s, nil
	}
	var err error
	if s.attempt, err = practical.Reopen(kept{s}, now); err != nil {
		return nil, err
	}
	if before, is := s.attempt.State().(practical.Interrupted); is && before.Seen().After(now) {
		now = before.Seen() // the clock on the wall was set back: a seat's never goes there
	}
	if err := s.attempt.Allow(r.plan, now); err != nil {
		return nil, err
	}
	s.time.wall = now
	return s, nil
}

// kept is a seat as its attempt keeps itself; it implements practical.Keep.
type kept struct{ *seat }

// Record implements practical.Keep.
func (s kept) Record() ([]byte, error) {
	k, err := s.r.store.Seat(s.r.plan.ID, s.candidate)
	return k.Record, err
}

// Result implements practical.Keep.
func (s kept) Result() ([]byte, error) {
	k, err := s.r.store.Seat(s.r.plan.ID, s.candidate)
	return k.Result, err
}

// SetResult implements practical.Keep.
func (s kept) SetResult(data []byte) error {
	return s.r.store.SetResult(s.r.plan.ID, s.candidate, data)
}

// SetRecord implements practical.Keep.
func (s kept) SetRecord(data []byte) error {
	return s.r.store.SetRecord(s.r.plan.ID, s.candidate, data)
}

// Log implements practical.Keep.
func (s kept) Log(i int) ([]byte, error) {
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
	if len(lines) == 0 {
		err := s.r.with(i, h.Keys, func(p *sitting.Sitting) (err error) {
			o.chair, err = chair.BeginWith(p, c, h, o)
			return err
		})
		if err == nil {
			err = s.append(o, "")
		}
		return o, err
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
		o.chair, err = chair.ResumeWith(p, c, rec, o)
		return err
	})
}

// Append implements chair.Log: a line waits to be kept until nobody waits for the
// patient any more. Else the disk would serve one after the other who might share a
// commit, and one who has to wait for it would have all wait who have the same case.
func (o *open) Append(line []byte) error {
	o.line = bytes.Clone(line)
	return nil
}

// Truncate implements chair.Log: nothing is left of a line that was not kept.
func (*open) Truncate(int64) error { return nil }

// append keeps the line of a request. When it fails the case as it stands has more than
// what is kept, and is to be read again.
func (s *seat) append(o *open, id string) error {
	if err := s.r.store.Append(o.at, store.Line{N: len(o.ids), ID: id, Text: o.line}); err != nil {
		return err
	}
	o.ids, o.line = append(o.ids, id), nil
	return nil
}

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
