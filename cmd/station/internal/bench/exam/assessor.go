package exam

import (
	"strconv"
	"strings"
	"time"

	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// entry asks for the assessor's passphrase, in front of whatever the candidate does.
// Until it is typed the time runs.
type entry struct {
	x          *room
	passphrase string
}

// Draw implements desk.Overlay.
func (e *entry) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v := d.Voice()
	closed := d.UI.Dialog("assessor", v.Text("bench.assessor.title"), v.Text("bench.close"), 520, func(c *ui.Column) {
		d.ShowNotice(c)
		c.Para(v.Text("bench.assessor.about"), ui.Note)
		c.Gap(10)
		entered := desk.Secret(d.UI, c, "passphrase", v.Text("bench.exam.passphrase"), &e.passphrase)
		c.Flow(func(f *ui.Flow) {
			if f.Button("assessor open", v.Text("bench.assessor.open"), ui.Primary) || entered {
				next = e.x.opened(&e.passphrase, e.x.assess)
			}
		})
	})
	if closed {
		return desk.Close{}
	}
	return next
}

// assess has the time stand still, and shows what the assessor can do.
func (x *room) assess() (desk.Next, error) {
	if err := x.attempt.Hold(x.d.Voice().Text("bench.assessor.held"), x.d.Now()); err != nil {
		return nil, err
	}
	return desk.Bench{Screen: &Assessor{x: x}}, nil
}

// goOn has the time run again, and the candidate go on: at the bench as it was, unless it
// has to be set up anew.
func (x *room) goOn() (desk.Next, error) {
	held, _ := x.attempt.State().(practical.Held)
	i, place, under := held.Open()
	var v *chair.Visit
	var torn bool
	if under && x.bench == nil {
		var err error
		if v, torn, err = x.patient(held.Entry(), i, place); err != nil {
			return nil, fact.Because(err, "bench.exam.not-on")
		}
	}
	if err := x.attempt.GoOn(x.d.Now()); err != nil {
		return nil, fact.Because(err, "bench.exam.not-on")
	}
	s, _ := x.attempt.State().(practical.Examining)
	switch {
	case !under:
		return x.after(), nil
	case v == nil:
		return desk.Bench{Screen: x.bench}, nil
	}
	return x.sit(v, s, torn), nil
}

// Assessor is what an assessor can do to an attempt that is under way. The time stands
// still meanwhile.
type Assessor struct {
	idle
	x                       *room
	doing                   practical.Rule // whose form is open; empty for none
	minutes, number, reason string         // as they are typed
}

// stop is what is done where everybody's time is to stand still; it is no ruling of the
// record, which has an interruption of it.
const stop practical.Rule = "stop"

// rules are what can be done, in the order in which it is offered.
func (s *Assessor) rules(d *desk.Desk, held practical.Held) (all []practical.Rule) {
	if s.x.plan.PerCase > 0 || s.x.plan.Total > 0 {
		all = append(all, practical.Granted)
	}
	if held.Spare() > 0 {
		all = append(all, practical.Lessened)
	}
	all = append(all, stop, practical.Renumbered, practical.Closed, practical.Left, practical.Noted)
	if d.Save != nil {
		all = append(all, practical.Carried)
	}
	return all
}

// Draw implements desk.Screen.
func (s *Assessor) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	held, is := s.x.attempt.State().(practical.Held)
	if !is {
		return next
	}
	page(d, s.x.head, func(v voice.Voice, c *ui.Column) {
		c.Para(v.Text("bench.assessor.title"), ui.Head)
		c.Para(v.Text("bench.assessor.stands", "candidate", held.Candidate(), "case", placeOf(s.x.plan, held), "at", held.Since().Format("15:04")), ui.Body)
		s.left(v, c, held)
		c.Gap(8)
		c.Flow(func(f *ui.Flow) {
			for _, r := range s.rules(d, held) {
				if f.Button("rule "+string(r), v.Text("bench.assessor."+string(r)), s.look(r)) {
					s.doing, s.reason = r, ""
					d.Notice.Clear()
				}
			}
		})
		if s.doing != "" {
			next = s.form(d, v, c, held)
		}
		c.Gap(12)
		c.Flow(func(f *ui.Flow) {
			if f.Button("go on", v.Text("bench.assessor.back"), ui.Plain) {
				d.Notice.Clear()
				next = s.later(d, s.x.goOn)
			}
		})
	})
	return next
}

// left says how much time is left, so far as it has a limit.
func (s *Assessor) left(v voice.Voice, c *ui.Column, held practical.Held) {
	perCase, total := held.Times()
	ofCase, ofAll := held.Left()
	if perCase > 0 {
		c.Para(v.Text("bench.assessor.time", "case", placeOf(s.x.plan, held), "clock", ofCase), ui.Strong)
	}
	if total > 0 {
		c.Para(v.Text("bench.exam.total", "clock", ofAll), ui.Strong)
	}
}

func (s *Assessor) look(r practical.Rule) ui.Look {
	if r == s.doing {
		return ui.Selected
	}
	return ui.Plain
}

// placeOf is which case is under way, or else comes next, as the candidate counts them.
func placeOf(p *practical.Plan, held practical.Held) fact.Fact {
	id, place := "bench.assessor.next-case", 0
	switch s := held.Behind().(type) {
	case practical.Ready:
		place = s.Place()
	case practical.Examining:
		id, place = "bench.assessor.this-case", s.Place()
	}
	return fact.New(id, "n", fact.Count(place), "all", fact.Count(len(p.Cases)))
}

// form is what is typed for a ruling.
func (s *Assessor) form(d *desk.Desk, v voice.Voice, c *ui.Column, held practical.Held) (next desk.Next) {
	next = desk.Stay{}
	c.Gap(4)
	c.Para(v.Text("bench.assessor."+string(s.doing)+".about", "case", placeOf(s.x.plan, held), "most", held.Spare()), ui.Body)
	c.Gap(8)
	switch s.doing {
	case practical.Granted, practical.Lessened:
		desk.Entry(d.UI, c, "minutes", v.Text("bench.assessor.minutes"), &s.minutes)
	case practical.Renumbered:
		desk.Entry(d.UI, c, "number", v.Text("bench.assessor.number"), &s.number)
	}
	desk.Entry(d.UI, c, "reason", v.Text("bench.assessor.reason"), &s.reason)
	c.Flow(func(f *ui.Flow) {
		if f.Button("rule", v.Text("bench.assessor."+string(s.doing)+".do"), ui.Primary) {
			d.Notice.Clear()
			next = s.later(d, s.rule)
		}
	})
	return next
}

func (s *Assessor) later(d *desk.Desk, do func() (desk.Next, error)) desk.Next {
	return desk.Later{Work: func() desk.Next {
		next, err := do()
		return orRefuse(d, next, err)
	}}
}

// rule does what was chosen.
func (s *Assessor) rule() (desk.Next, error) {
	x, reason, now := s.x, strings.TrimSpace(s.reason), s.x.d.Now()
	switch s.doing {
	case practical.Granted, practical.Lessened:
		return s.grant(reason, now)
	case stop:
		return s.stop(reason, now)
	case practical.Renumbered:
		return s.renumber(reason)
	case practical.Closed:
		if err := x.attempt.Close(reason, now); err != nil {
			return nil, err
		}
		return x.after(), nil
	case practical.Noted:
		err := x.attempt.Note(reason, now)
		if err == nil {
			s.doing = ""
			x.d.Notice.Tell("bench.assessor.told.noted")
		}
		return desk.Stay{}, err
	case practical.Left:
		if err := x.attempt.Leave(reason, now); err != nil {
			return nil, err
		}
		if err := x.putAway(""); err != nil {
			x.d.Notice.Refuse(err)
			return desk.Bench{Screen: &Interrupted{x: x}}, nil
		}
		return desk.EndExam{Told: "bench.assessor.told.left"}, nil
	}
	if err := x.attempt.Carry(reason, now); err != nil {
		return nil, err
	}
	away := &Interrupted{x: x}
	x.d.Check(away.save())
	return desk.Bench{Screen: away}, nil
}

// grant gives more time, or takes it back.
func (s *Assessor) grant(reason string, now time.Time) (desk.Next, error) {
	n, err := strconv.Atoi(strings.TrimSpace(s.minutes))
	if err != nil || n < 1 || n > 24*60 {
		return nil, fact.Refuse("bench.assessor.no-minutes", "text", s.minutes)
	}
	held, _ := s.x.attempt.State().(practical.Held)
	change := s.x.attempt.Grant
	if s.doing == practical.Lessened {
		change = s.x.attempt.Lessen
	}
	if err := change(time.Duration(n)*time.Minute, reason, now); err != nil {
		return nil, err
	}
	s.x.d.Notice.Tell("bench.assessor.told."+string(s.doing), "n", fact.Count(n), "case", placeOf(s.x.plan, held))
	s.doing, s.minutes = "", ""
	return desk.Stay{}, nil
}

// stop has the time stand still for another reason than that the assessor is there, and
// goes on only with the passphrase.
func (s *Assessor) stop(reason string, now time.Time) (desk.Next, error) {
	if err := s.x.attempt.Hold(reason, now); err != nil {
		return nil, err
	}
	return desk.Bench{Screen: &Stopped{x: s.x}}, nil
}

func (s *Assessor) renumber(reason string) (desk.Next, error) {
	to := practical.Candidate(strings.TrimSpace(s.number))
	if err := practical.CheckCandidate(to); err != nil {
		return nil, err
	}
	if err := s.x.move(to, reason); err != nil {
		return nil, err
	}
	s.doing, s.number = "", ""
	s.x.d.Notice.Tell("bench.assessor.told.renumbered", "candidate", to)
	return desk.Stay{}, nil
}

// Stopped is that the time stands still, until the assessor comes again.
type Stopped struct {
	idle
	x          *room
	passphrase string
}

// Draw implements desk.Screen.
func (s *Stopped) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	held, is := s.x.attempt.State().(practical.Held)
	if !is {
		return next
	}
	page(d, s.x.head, func(v voice.Voice, c *ui.Column) {
		c.Para(v.Text("bench.assessor.stopped", "candidate", held.Candidate(), "at", held.Since().Format("15:04"), "reason", held.Why()), ui.Body)
		c.Gap(8)
		entered := desk.Secret(d.UI, c, "passphrase", v.Text("bench.exam.passphrase"), &s.passphrase)
		c.Flow(func(f *ui.Flow) {
			if f.Button("let on", v.Text("bench.exam.leton"), ui.Primary) || entered {
				next = s.x.opened(&s.passphrase, s.x.goOn)
			}
			if f.Button("assessor", v.Text("bench.assessor.entry"), ui.Plain) {
				next = s.x.opened(&s.passphrase, func() (desk.Next, error) { return desk.Bench{Screen: &Assessor{x: s.x}}, nil })
			}
		})
	})
	return next
}
