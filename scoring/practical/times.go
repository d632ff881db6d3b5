package practical

import (
	"slices"
	"strings"
	"time"

	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// clock sums what passes at a station by two clocks: by what really passed, as
// the program is told, and by the station's clock, which people read and can
// set. The larger sum counts, over the whole attempt: a program whose own clock
// was slowed, and a machine whose lid was shut, gain no time by it. A station's
// clock that is set back, and on again by as much, changes nothing. One that is
// set on cannot be told from a lid that was shut, and counts.
type clock struct {
	wall    time.Time     // the station's clock at the last tick
	own     time.Duration // what really passed, as the program was told
	station time.Duration // what passed by the station's clock
	back    time.Duration // by which that is set back
	leapt   time.Duration // of station: in steps that were noted
	counted time.Duration
	slow    time.Duration // before this stretch; see behind
}

// step is what a tick comes to.
type step struct {
	passed time.Duration // what counts
	set    time.Duration // by which the station's clock was set, and which does not count: negative is back
	jump   time.Duration // of the station's clock in this one tick, worth a note; 0 is none
}

// How times are judged: the project's choice.
const (
	jumped   = 2 * time.Second      // that the station's clock may differ in one tick before it is noted
	farthest = 366 * 24 * time.Hour // that one step is taken to be, lest sums run over
)

func (c *clock) tick(wall time.Time, spent time.Duration) (out step) {
	wall, spent = wall.Round(0), max(spent, 0) // times of one program would be compared by what passed, and no jump be seen
	went := min(max(wall.Sub(c.wall), -farthest), farthest)
	by := went - spent
	c.wall, c.own = wall, c.own+spent
	switch {
	case by < -jumped:
		c.back -= by
		out.set, out.jump = by, by
	case by > jumped:
		out.set, out.jump = min(by, c.back), by
		c.back -= out.set
		c.leapt += by - out.set
	}
	c.station += went - out.set
	out.passed = max(0, max(c.own, c.station)-c.counted)
	c.counted += out.passed
	return out
}

// behind is by how much the program's own clock fell behind the station's, in
// steps too small to be noted, since the attempt began.
func (c *clock) behind() time.Duration { return c.slow + c.station - c.own - c.leapt }

// Times are where the time of an attempt went, as its record has it.
type Times struct {
	Begun       time.Time     `json:"begun"` // by the clock of the station, as all of these
	Ended       time.Time     `json:"ended"`
	Used        time.Duration `json:"used"`                  // in all cases
	Paused      time.Duration `json:"paused,omitempty"`      // between them, and before the first
	Interrupted time.Duration `json:"interrupted,omitempty"` // from the last sign of life until it went on
	Past        time.Duration `json:"past,omitempty"`        // after the time of a case was up, until that was noticed
	Slow        time.Duration `json:"slow,omitempty"`        // by which the program's own clock fell behind
	Gap         time.Duration `json:"gap"`                   // what is left of the time from begin to end, and nothing explains
}

// TooSlow reports whether the program's own clock fell behind the station's by
// more than it may in one tick.
func (t Times) TooSlow() bool { return t.Slow > jumped }

// TooFast reports whether the station's clock fell behind the program's own by as
// much.
func (t Times) TooFast() bool { return t.Slow < -jumped }

// times are where the time went.
func (r *record) times() Times {
	out := Times{Begun: r.Started, Ended: r.Ended, Used: r.elapsed(), Slow: r.Slow}
	set, at := time.Duration(0), r.Started
	for _, s := range r.Cases {
		out.Past, set = out.Past+s.Past, set+s.Set
		out.Paused += s.Begun.Sub(at)
		at = s.Until
	}
	out.Paused += r.Waited
	if !r.told() {
		out.Paused = 0
	}
	for _, i := range r.Interruptions {
		if r.before(i) {
			continue
		}
		out.Interrupted += i.Length()
		if i.Between && r.has(i.Case) {
			out.Paused -= i.Length()
		}
	}
	out.Gap = r.Ended.Sub(r.Started) - out.Used - out.Paused - out.Interrupted - out.Past - set
	return out
}

// has reports whether a case was begun.
func (r *record) has(i int) bool {
	return slices.ContainsFunc(r.Cases, func(s Sat) bool { return s.Case == i })
}

// told reports whether a record tells when each case was begun and handed in: one
// of version 2 does not.
func (r *record) told() bool {
	return !slices.ContainsFunc(r.Cases, func(s Sat) bool { return s.Begun.IsZero() || s.Until.IsZero() })
}

// When times are doubted: the project's choice.
const (
	unexplained = time.Minute    // a gap may be
	untold      = time.Hour      // likewise, where a record does not tell the time between cases
	instant     = time.Second    // a case with actions takes at least
	zones       = 24 * time.Hour // by which clocks may differ that nobody set right
)

// earliest is before the first practical there was.
var earliest = time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)

// Doubts are what cannot be true of the times of a record that came back by a
// time, or what nothing in it explains.
func (r *Record) Doubts(p *Plan, by time.Time) (out []fact.Fact) {
	t := r.in.times()
	doubt := func(is bool, id string, pairs ...any) {
		if is {
			out = append(out, fact.New("practical.doubt."+id, pairs...))
		}
	}
	made := p.Made
	if made.IsZero() {
		made = earliest
	}
	begun, ended := stamp(t.Begun), stamp(t.Ended)
	doubt(t.Ended.Before(t.Begun), "order", "begun", begun, "ended", ended)
	doubt(t.Begun.Before(made.Add(-zones)), "early", "begun", begun, "made", stamp(made))
	doubt(t.Ended.After(by.Add(zones)), "late", "ended", ended, "now", stamp(by))
	for _, l := range r.in.leaps() {
		n, in := r.in.under(l.At)
		doubt(in, "clock", "by", seconds(l.By), "at", stamp(l.At), "n", fact.Count(n))
		after := len(r.in.Cases) > 0 && l.At.After(r.in.Cases[0].Begun)
		doubt(!in && after && p.CountPauses, "clock-between", "by", seconds(l.By), "at", stamp(l.At))
	}
	quick, apart := r.in.odd()
	doubt(quick > 0, "instant", "n", fact.Count(quick), "least", seconds(instant))
	doubt(apart > 0, "apart", "n", fact.Count(apart))
	most, span := unexplained, t.Ended.Sub(t.Begun)
	if !r.in.told() {
		most = untold
	}
	doubt(t.Gap > most, "gap", "span", seconds(span), "used", seconds(t.Used), "gap", seconds(t.Gap))
	doubt(t.Gap < -unexplained && span >= 0, "short", "span", seconds(span), "used", seconds(t.Used))
	return out
}

// leaps are the steps of the station's clock by which time was taken: a lid was shut, or
// the clock was set on. What it was set back by before takes none.
func (r *record) leaps() (out []Jump) {
	var back time.Duration
	for _, j := range r.Jumps {
		if j.By < 0 {
			back -= j.By
			continue
		}
		undone := min(j.By, back)
		back, j.By = back-undone, j.By-undone
		if j.By > unexplained {
			out = append(out, j)
		}
	}
	return out
}

// under is the case that was under way at a time, from 1, in the order of the plan; false
// for none.
func (r *record) under(at time.Time) (n int, is bool) {
	for _, s := range r.Cases {
		if !s.Begun.IsZero() && !at.Before(s.Begun) && !at.After(s.Until) {
			return s.Case + 1, true
		}
	}
	return 0, false
}

// odd are how many cases took no time although something was done in them, and
// how many have an action at a time at which they were not under way.
func (r *record) odd() (quick, apart int) {
	for _, s := range r.Cases {
		done, inside := s.actions()
		if done > 0 && s.Elapsed < instant {
			quick++
		}
		if !inside {
			apart++
		}
	}
	return quick, apart
}

// actions are how many were done in a case, and whether each was while the case
// was under way, as far as their times are told.
func (s Sat) actions() (done int, inside bool) {
	rec, err := sitting.ReadLog(strings.NewReader(s.Log))
	if err != nil {
		return 0, true // told elsewhere
	}
	inside = true
	for _, e := range rec.Events {
		if e.Aside == nil || e.Aside.Wall.IsZero() || s.Begun.IsZero() || s.Set != 0 {
			continue
		}
		at := e.Aside.Wall
		inside = inside && !at.Before(s.Begun.Add(-unexplained)) && !at.After(s.Until.Add(unexplained))
	}
	return len(rec.Events), inside
}
