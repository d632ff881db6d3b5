package practical

import (
	"bytes"
	"slices"
	"sort"
	"strings"
	"time"

	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// Close ends an attempt before its time: the case under way is handed in as it stands,
// and the others are not begun. The result is kept, as at any end. Of a log that is
// damaged what stands before the damage is handed in.
func (a *Attempt) Close(reason string, at time.Time) error {
	s, err := currentOf(a.State())
	if err != nil {
		return err
	}
	if err := s.rule(Ruling{Do: Closed, Reason: reason}, at); err != nil {
		return err
	}
	if s.rec.Held != nil {
		s.goOn(at)
	}
	s.rec.Ended, s.rec.Seen = at.Round(0), time.Time{}
	s.rec.Cases = slices.Clone(s.rec.Cases)
	for i := range s.rec.Cases {
		if sat := &s.rec.Cases[i]; s.Entry().checkLog(*sat) != nil {
			if err := s.salvage(sat); err != nil {
				return err
			}
		}
	}
	if s.open == nil {
		return a.onward(s.admitted, at)
	}
	sat := *s.open
	if err := s.salvage(&sat); err != nil {
		return err
	}
	return a.done(s.admitted, sat, at)
}

// AdmitAssessor lets the assessor in, and nobody else, to an attempt that was interrupted
// and that [Attempt.Allow] refuses, such as for a log that is damaged: the time stands
// still, for a reason, and the attempt can be closed.
func (a *Attempt) AdmitAssessor(p *Plan, reason string, at time.Time) error {
	s, is := a.State().(Interrupted)
	if !is {
		return notNow(a.State())
	}
	if r, is := s.Carried(); is {
		return fact.Refuse("practical.carried-away", "at", stamp(r.At))
	}
	if err := s.mayClose(p); err != nil {
		return err
	}
	b, open := s.back(p, at)
	for i, sat := range b.rec.Cases {
		b.rec.Cases[i].Log, _, _ = b.log(sat.Case, sat.Bytes)
	}
	if b.rec.Held == nil {
		b.rec.Held = &Hold{From: b.rec.Seen, Reason: reason}
	}
	return a.become(current{b, open})
}

// mayClose says what is wrong with an attempt that was interrupted, apart from its logs.
func (s Interrupted) mayClose(p *Plan) error {
	order := s.Entry(p).Order()
	if _, _, open := s.Open(p); !s.rec.Ended.IsZero() || len(s.rec.Cases) >= len(order) && !open {
		return fact.Refuse("practical.rule.wrong")
	}
	for i, sat := range s.rec.Cases {
		if sat.Case != order[i] {
			return fact.Refuse("practical.case-order", "n", fact.Count(i+1))
		}
	}
	without := s.rec
	without.Cases = nil
	return without.check(p)
}

// whole says which log of a case that is over is not as it was handed in.
func (s admitted) whole() error {
	for i, sat := range s.rec.Cases {
		if err := s.Entry().checkLog(sat); err != nil {
			return fact.Because(err, "practical.case", "n", fact.Count(i+1))
		}
	}
	return nil
}

// salvage gives a case what is whole of its log, from the beginning on; where nothing
// is, a log in which nothing was done.
func (s admitted) salvage(sat *Sat) error {
	data, err := s.keep.Log(sat.Case)
	if err != nil {
		return fact.Because(err, "practical.case", "n", fact.Count(s.place(sat.Case)))
	}
	sat.Ended = ByAssessor
	rec := s.Entry().wholeLines(sat.Case, data)
	if rec == nil {
		var empty strings.Builder
		_, err := sitting.NewLog(&empty, s.Entry().Header(sat.Case))
		sat.Log, sat.Bytes = empty.String(), empty.Len()
		return err
	}
	if ends(rec) {
		sat.Ended = Stated
	}
	sat.Log, sat.Bytes = string(data[:rec.Size]), int(rec.Size)
	return nil
}

// wholeLines reads the lines of a log that are whole, up to the first that is not; nil when
// none is.
func (e Entry) wholeLines(i int, data []byte) *sitting.Record {
	read := func(n int) (*sitting.Record, error) {
		lines := bytes.SplitAfterN(data, []byte("\n"), n+1)
		return e.readLog(Sat{Case: i, Log: string(bytes.Join(lines[:n], nil))})
	}
	n := sort.Search(bytes.Count(data, []byte("\n")), func(n int) bool {
		_, err := read(n + 1)
		return err != nil
	})
	rec, err := read(n)
	if err != nil {
		return nil
	}
	return rec
}
