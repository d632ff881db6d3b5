package homework

import (
	"bytes"
	"slices"
	"time"

	"conoid/cases"
	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// Log is a log that was handed in, or why it could not be read.
type Log struct {
	File      string
	Who       string // as the file around it says; "" for a log that came alone
	Simulated bool   // likewise: no person sat it
	Data      []byte
	Err       error
}

// Collecting is what a class's work is made of.
type Collecting struct {
	Assignment *cases.Assignment // nil for logs of a case without one
	ID         string            // of the handout; "" for none
	Cases      []*cases.Case     // of the assignment, in its order
	Scheme     *cases.Scheme     // nil for the assignment's, or else that of each case
	Name       string            // of Scheme
	Language   string            // of the titles
	Logs       []Log
	Made       time.Time
	Progress   func(done int) // logs done; may be nil

	pars map[int]scoring.Par // by place, as far as they are known
}

// Collect replays and marks the logs, and describes the class.
func Collect(from Collecting) (*Class, error) {
	out := &Class{Scheme: from.Name, Made: from.Made, Cases: []Case{}, Rows: []*Row{}, Students: []Student{}, Parts: []Share{}, Troubles: []Trouble{}}
	switch {
	case from.Assignment != nil:
		out.Title = from.Assignment.In(from.Language).Title
	case len(from.Cases) > 0:
		out.Title = from.Cases[0].Texts(from.Language).Title
	}
	m := marker{from}
	if m.pars == nil {
		m.pars = map[int]scoring.Par{}
	}
	for _, c := range from.Cases {
		out.Cases = append(out.Cases, Case{c.ID, c.Texts(from.Language).Title, truth(c)})
	}
	for i, l := range from.Logs {
		r, err := m.row(l)
		switch {
		case err != nil:
			out.Troubles = append(out.Troubles, Trouble{l.File, l.Who, fact.New("homework.why", "cause", err)})
		case out.has(r):
			out.Troubles = append(out.Troubles, Trouble{l.File, r.Who, fact.New("homework.twice")})
		default:
			out.Rows = append(out.Rows, r)
			if l.Simulated {
				out.Simulated++
			}
		}
		if from.Progress != nil {
			from.Progress(i + 1)
		}
	}
	out.describe()
	out.remark(from)
	return out, nil
}

// has reports whether the same log is there already.
func (c *Class) has(r *Row) bool {
	return slices.ContainsFunc(c.Rows, func(o *Row) bool { return o.head == r.head })
}

// marker marks logs.
type marker struct{ Collecting }

// Plain takes from a file what mail gateways and editors do to it: the mark in front of a
// text, and other ends of lines.
func Plain(data []byte) []byte {
	return bytes.ReplaceAll(bytes.TrimPrefix(data, []byte("\ufeff")), []byte("\r\n"), []byte("\n"))
}

// row replays and marks a log.
func (m *marker) row(l Log) (*Row, error) {
	if l.Err != nil {
		return nil, l.Err
	}
	rec, err := sitting.ReadLog(bytes.NewReader(Plain(l.Data)))
	if err != nil {
		return nil, err
	}
	place := slices.IndexFunc(m.Cases, func(c *cases.Case) bool { return c.Hash() == rec.Header.Case })
	if place < 0 {
		return nil, fact.Refuse("homework.other-case", "title", rec.Header.Title)
	}
	c := m.Cases[place]
	s, err := sitting.Replay(c.Setup(), rec)
	if err != nil {
		return nil, err
	}
	r := &Row{File: l.File, Who: rec.Header.Who, Place: place + 1, log: Plain(l.Data), head: rec.Head, seed: rec.Header.Seed, c: c, s: s}
	r.times(rec.Events)
	if rec.Torn {
		r.remark("homework.torn")
	}
	if l.Who != "" && l.Who != r.Who {
		r.remark("homework.other-number", "file", l.Who, "log", r.Who)
	}
	if t := rec.Header.Task; m.ID != "" && (t == nil || t.Assignment != m.ID) {
		r.remark("homework.other-assignment")
	}
	return r, m.mark(r)
}

// times is when the student's own work was, and what went on around it.
func (r *Row) times(events []sitting.Event) {
	var before time.Time
	for _, e := range events {
		a := e.Aside
		if a == nil {
			continue
		}
		if a.Given {
			r.Given++
			continue
		}
		if a.Hint {
			r.Hints++
		}
		r.Looks += len(a.Opened)
		if a.Wall.IsZero() {
			continue
		}
		if r.Begun.IsZero() {
			r.Begun = a.Wall
		}
		if a.Wall.Before(before) {
			r.remark("homework.clock-back", "n", fact.Count(e.N))
		}
		before, r.ended = a.Wall, a.Wall
	}
	if r.ended.After(r.Begun) {
		r.Took = r.ended.Sub(r.Begun)
	}
}

func (r *Row) remark(id string, pairs ...any) { r.Remarks = append(r.Remarks, fact.New(id, pairs...)) }

// mark marks a row by the scheme that holds for it.
func (m *marker) mark(r *Row) error {
	par, known := m.pars[r.Place]
	if !known {
		var err error
		if par, err = scoring.ParWith(r.c, r.s, scoring.ParSeeds); err != nil {
			return err
		}
		m.pars[r.Place] = par
	}
	scheme, by := m.scheme(r.c)
	marked := *r.c
	marked.Marking, r.c = &scheme, &marked
	rep, err := scoring.ReviewBy(scheme, by, r.s, par)
	if err != nil {
		return err
	}
	rep.Remark(r.c)
	r.review, r.Points, r.Parts = rep, float64(rep.Total), rep.Parts
	r.Steps = r.s.StepsOf(r.c.Tested).Total()
	if end, ok := r.s.EndPoint(r.c.Tested); ok {
		r.Done, r.Stated = true, ascii(end.Rx)
	} else {
		r.remark("homework.not-done")
	}
	for _, f := range rep.Findings {
		if f.Severity != scoring.Note {
			r.Findings = append(r.Findings, f.ID)
		}
	}
	return nil
}

// scheme is by what a case is marked, and the words for it.
func (m *marker) scheme(c *cases.Case) (cases.Scheme, fact.Fact) {
	switch {
	case m.Scheme != nil:
		return *m.Scheme, fact.New("scheme.file", "file", m.Name)
	case m.Assignment != nil && m.Assignment.Marking != nil:
		return *m.Assignment.Marking, fact.New("scheme.assignment")
	}
	return c.Scheme(), c.MarkedBy()
}

// remark says what is odd about the rows, once they are in order.
func (c *Class) remark(from Collecting) {
	for i, r := range c.Rows {
		r.lateness(from.Assignment)
		if r.Who == "" {
			r.remark("homework.no-number")
		}
		for _, o := range c.Rows[:i] {
			r.beside(o, from.Assignment)
		}
	}
}

// lateness says what the terms of an assignment make of a row.
func (r *Row) lateness(a *cases.Assignment) {
	if a == nil {
		return
	}
	if !r.Begun.IsZero() {
		switch a.At(r.Begun) {
		case cases.Before:
			r.remark("homework.early", "at", a.Opens.Told())
		case cases.After:
			r.remark("homework.late", "at", a.Closes.Told())
		}
	}
	if a.Limit > 0 && r.Took > a.Limit {
		r.remark("homework.overtime", "took", r.Took, "limit", a.Limit)
	}
	if a.Attempts > 0 && r.Attempt > a.Attempts {
		r.remark("homework.one-more", "n", fact.Count(a.Attempts))
	}
}

// beside says what a row has in common with one before it.
func (r *Row) beside(o *Row, a *cases.Assignment) {
	if r.Place != o.Place {
		return
	}
	if r.seed != nil && o.seed != nil && *r.seed == *o.seed {
		if r.Who == o.Who {
			r.remark("homework.same-luck", "n", fact.Count(o.Attempt))
		} else {
			r.remark("homework.same-luck-as", "who", o.Who)
		}
	}
	shows := a == nil || !a.Withholds()
	if r.Who == o.Who && o.Done && shows && o.Attempt == r.Attempt-1 {
		r.remark("homework.shown", "n", fact.Count(o.Attempt))
	}
}
