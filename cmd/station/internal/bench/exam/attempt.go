package exam

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"strings"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/scoring"
	"conoid/scoring/practical"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// room is a candidate's attempt at a practical, where it is kept, and the desk
// that it is sat at.
type room struct {
	d       *desk.Desk
	head    *practical.Sealed
	plan    *practical.Plan // once the assessor has opened it
	attempt *practical.Attempt
	keep    keep
	carried *practical.Parcel // that the attempt came in; nil for none
	bench   desk.Screen       // with the case under way; nil when it has to be set up anew
	cut     bool              // the time of the case before was up
}

// keep keeps an attempt in the store; it implements practical.Keep.
type keep struct {
	store desk.Store
	name  string // how all names begin
}

// Everything of practicals is kept in a folder, in one for each practical: the
// practical as it was handed out, and what its candidates did.
const (
	practicals = "practicals/"
	given      = "/practical.txt"
)

func folder(head *practical.Sealed) string { return practicals + seat.Slug(head.ID) }

// keepOf is where everything of a candidate is kept.
func keepOf(d *desk.Desk, head *practical.Sealed, candidate string) keep {
	return keep{d.Store, folder(head) + "/" + seat.Slug(candidate)}
}

func (k keep) Record() ([]byte, error)     { return k.read(k.name + ".json") }
func (k keep) SetRecord(data []byte) error { return k.store.Replace(k.name+".json", data) }
func (k keep) Log(i int) ([]byte, error)   { return k.read(k.logName(i)) }

func (k keep) Result() ([]byte, error)     { return k.read(k.name + ".result") }
func (k keep) SetResult(data []byte) error { return k.store.Replace(k.name+".result", data) }

func (k keep) logName(i int) string { return fmt.Sprintf("%s-%d.jsonl", k.name, i) }

func (k keep) read(name string) ([]byte, error) {
	data, err := k.store.Read(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return data, err
}

// admit lets a candidate sit the practical, or go on with it.
func (x *room) admit(candidate, passphrase string, file []byte) (desk.Next, error) {
	var err error
	if x.plan, err = unlock(x.head, passphrase); err != nil {
		return nil, err
	}
	if err := x.plan.Admits(candidate); err != nil {
		return nil, err
	}
	if err := x.d.Store.Replace(folder(x.head)+given, file); err != nil {
		return nil, err
	}
	if err := x.putAway(candidate); err != nil {
		return nil, err
	}
	if err := x.takeOut(candidate); err != nil {
		return nil, err
	}
	x.keep = keepOf(x.d, x.head, candidate)
	if err := x.unpack(candidate); err != nil {
		return nil, err
	}
	if err := x.attempt.Admit(x.plan, candidate, x.keep, x.d.Now()); err != nil {
		return nil, err
	}
	x.d.Change(func(s *settings.Settings) { s.Exam = strings.TrimPrefix(x.keep.name, practicals) })
	before, is := x.attempt.State().(practical.Interrupted)
	if !is {
		return x.after(), nil
	}
	if _, away := before.Carried(); away {
		if x.carried == nil {
			return desk.Bench{Screen: &Interrupted{x: x}}, nil
		}
		if err := x.attempt.TakeUp(x.d.Now()); err != nil {
			return nil, err
		}
	}
	next, err := x.allow() // the assessor has typed the passphrase just now
	if err != nil {
		x.d.Notice.Refuse(err)
		return desk.Bench{Screen: &Interrupted{x: x}}, nil
	}
	return next, nil
}

// unlock opens a practical with its passphrase. What does not open it is said without a file's
// name: the one that was dropped need not be there any more.
func unlock(head *practical.Sealed, passphrase string) (*practical.Plan, error) {
	plan, err := head.Open(passphrase)
	if errors.Is(err, cases.ErrWrongKey) {
		return nil, fact.Because(cases.ErrWrongKey, "bench.exam.wrong-passphrase")
	}
	return plan, err
}

// opened does something once the assessor's passphrase has opened the practical.
func (x *room) opened(passphrase *string, do func() (desk.Next, error)) desk.Next {
	x.d.Notice.Clear()
	return desk.Later{Work: func() desk.Next {
		plan, err := unlock(x.head, *passphrase)
		*passphrase = ""
		if err != nil {
			return orRefuse(x.d, nil, err)
		}
		if x.plan == nil {
			x.plan = plan
		}
		next, err := do()
		return orRefuse(x.d, next, err)
	}}
}

// allow goes on with an attempt that was interrupted. One that cannot go on can still be
// closed.
func (x *room) allow() (desk.Next, error) {
	next, err := x.allowed()
	if err != nil {
		return nil, fact.Because(err, "bench.exam.not-on")
	}
	return next, nil
}

func (x *room) allowed() (desk.Next, error) {
	before, _ := x.attempt.State().(practical.Interrupted)
	var v *chair.Visit
	var torn bool
	if i, place, is := before.Open(x.plan); is {
		var err error
		if v, torn, err = x.patient(before.Entry(x.plan), i, place); err != nil {
			return nil, err
		}
	}
	if err := x.attempt.Allow(x.plan, x.d.Now()); err != nil {
		return nil, err
	}
	if s, is := x.attempt.State().(practical.Examining); is {
		return x.sit(v, s, torn), nil
	}
	return x.after(), nil
}

// begin begins the next case.
func (x *room) begin(s practical.Ready) (desk.Next, error) {
	v, torn, err := x.patient(s.Entry(), s.Case(), s.Place())
	if err == nil {
		err = x.attempt.Begin(x.d.Now())
	}
	if err != nil {
		return nil, err
	}
	now, _ := x.attempt.State().(practical.Examining)
	return x.sit(v, now, torn), nil
}

// patient brings the patient of a case, with all that the log says was done.
func (x *room) patient(e practical.Entry, i, place int) (*chair.Visit, bool, error) {
	c := *x.plan.Patient(i)
	if !x.plan.Show.Titles {
		untitled(&c)
		c.Title = x.d.Voice().Text("bench.exam.case", "n", place, "all", len(x.plan.Cases))
	}
	v, torn, err := x.d.Seats.Examined(&c, x.keep.logName(i), e.Header(i))
	if err != nil {
		return nil, false, err
	}
	v.Chair = bound{v.Chair, len(x.plan.Cases)}
	return v, torn, nil
}

// untitled takes the titles of a case away in other languages: a title may tell
// something.
func untitled(c *cases.Case) {
	c.Translations = maps.Clone(c.Translations)
	for language, t := range c.Translations {
		t.Title = ""
		c.Translations[language] = t
	}
}

// sit shows the bench with the patient of the case under way.
func (x *room) sit(v *chair.Visit, s practical.Examining, torn bool) desk.Next {
	x.d.Notice.Clear()
	if torn {
		x.d.Notice.Refuse(fact.Refuse("bench.resume.torn"))
	}
	u := &use{x: x, v: v, last: s}
	screen := chairside.Examine(v, u)
	u.form = screen.Standing
	x.bench = screen
	return desk.Bench{Screen: screen}
}

// after goes to the next case, or to the end.
func (x *room) after() desk.Next {
	switch s := x.attempt.State().(type) {
	case practical.Ready:
		cut := x.cut
		x.cut = false
		return desk.Bench{Screen: &Ready{x: x, s: s, cut: cut}}
	case practical.Over:
		return desk.Bench{Screen: over(x, s)}
	}
	return desk.Stay{}
}

// handIn hands the case under way in, and tells the candidate why when the time was
// up; it is tried again while it cannot be kept.
func (x *room) handIn(up *fact.Fact) desk.Next {
	if err := x.attempt.HandIn(x.d.Now()); err != nil {
		x.d.Notice.Refuse(fact.Because(err, "bench.exam.not-on"))
		return desk.Stay{}
	}
	x.d.Notice.Clear()
	if up != nil {
		x.d.Notice.Say(*up)
	}
	return desk.Later{Work: x.after}
}

// points is the mark of a case that was handed in.
func (x *room) points(sat practical.Sat) (float64, error) {
	rec, err := sitting.ReadLog(strings.NewReader(sat.Log))
	if err != nil {
		return 0, err
	}
	c := x.plan.Patient(sat.Case)
	s := sitting.StartPausing(c.Setup(), rec.Header.Keys, x.d.Work.Pause)
	if err := s.Redo(rec.Events); err != nil {
		return 0, err
	}
	par, err := scoring.ParWith(c, s, scoring.ParSeeds)
	if err != nil {
		return 0, err
	}
	r, err := scoring.ReviewBy(x.plan.Scheme(sat.Case), x.plan.MarkedBy(sat.Case), s, par)
	if err != nil {
		return 0, err
	}
	return float64(r.Total), nil
}
