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

	mu sync.Mutex
	way
	attempt attempt
	open    *open // the case that was begun last; nil before, or until it is read again
	steps   int   // that were kept of it, while it is to be read again
	time    spell
	draft   *draft // of a deed that is being done; nil else
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

// seatOf is a seat as it was kept: a case that was under way goes on. What is to be kept of
// that is added to writes.
func (r *Room) seatOf(k store.Seat, now time.Time, writes *[]write) (*seat, time.Time, error) {
	s := &seat{r: r, candidate: k.Candidate, way: way{k.Ticket, k.Session, k.Tab}, attempt: attempt{&practical.Attempt{}}}
	if k.Record == nil {
		return s, time.Time{}, nil
	}
	var err error
	if s.attempt.Attempt, err = practical.Reopen(keepOf(s), now); err != nil {
		return nil, time.Time{}, err
	}
	before, _ := s.attempt.State().(practical.Interrupted)
	if before.Seen().After(now) {
		now = before.Seen() // the clock on the wall was set back: a seat's never goes there
	}
	err = drafted([]*seat{s}, func(s *seat) error { return goOn(s, before, now) }, writes)
	s.draft, s.time.wall = nil, now
	s.steps = stepsOf(s)
	return s, before.Seen(), err
}

// stepsOf is how many steps were kept of the case that was begun last; 0 where that cannot
// be read.
func stepsOf(s *seat) int {
	n := s.begun()
	if n == 0 {
		return 0
	}
	text, err := keepOf(s).Log(s.entry().Order()[n-1])
	if err != nil {
		return 0
	}
	rec, err := sitting.ReadLog(bytes.NewReader(text))
	if err != nil || len(rec.Events) == 0 {
		return 0
	}
	return sitting.StepsAfter(rec.Events)[len(rec.Events)-1]
}

// goOn goes on at a seat after the service was started again. Time that stood still does
// so again, for the same reason.
func goOn(s *seat, before practical.Interrupted, now time.Time) error {
	if err := s.attempt.Allow(s.r.plan, now); err != nil {
		return err
	}
	if h, was := before.Held(); was && s.attempt.sits() {
		return s.attempt.Hold(h.Reason, now)
	}
	return nil
}

// kept is a seat as its attempt keeps itself, under a number; it implements
// practical.Keep. While a number is being corrected the logs are still those of the old
// one: they go along by the same write.
type kept struct {
	*seat
	number string
	left   bool // whoever has that number leaves it by the same write
}

func keepOf(s *seat) kept { return kept{seat: s, number: s.candidate} }

// keeps keeps something; while a deed is being done at the seat, with its line.
func (s kept) keeps(do write) error {
	if s.draft == nil {
		return do(s.r.store)
	}
	s.draft.writes = append(s.draft.writes, do)
	return nil
}

// Record implements practical.Keep.
func (s kept) Record() ([]byte, error) {
	if s.left {
		return nil, nil
	}
	k, err := s.r.store.Seat(s.r.plan.ID, s.number)
	return k.Record, err
}

// Result implements practical.Keep.
func (s kept) Result() ([]byte, error) {
	k, err := s.r.store.Seat(s.r.plan.ID, s.number)
	return k.Result, err
}

// SetResult implements practical.Keep.
func (s kept) SetResult(data []byte) error {
	return s.keeps(func(w store.Writes) error { return w.SetResult(s.r.plan.ID, s.number, data) })
}

// SetRecord implements practical.Keep.
func (s kept) SetRecord(data []byte) error {
	return s.keeps(func(w store.Writes) error { return w.SetRecord(s.r.plan.ID, s.number, data) })
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

// entry is what the candidate gets of the practical. Order and luck are those of the
// number under which the first case was begun.
func (s *seat) entry() practical.Entry {
	if now, is := s.attempt.State().(interface{ Entry() practical.Entry }); is {
		return now.Entry()
	}
	return s.r.plan.Entry(s.candidate)
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
	c, h := s.r.plan.Patient(i), s.entry().Header(i)
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
