package exam

import (
	"strings"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring/practical"
)

// Interrupted waits for the assessor to let a candidate go on.
type Interrupted struct {
	idle
	x          *room
	passphrase string
	saved      string // where what is carried away went; empty before
}

// Reopen goes back to a practical that was interrupted, by the name in the
// settings.
func Reopen(d *desk.Desk, name string) (*Interrupted, error) {
	under, _, _ := strings.Cut(name, "/")
	file, err := d.Store.Read(practicals + under + given)
	if err != nil {
		return nil, err
	}
	x := &room{d: d, keep: keep{d.Store, practicals + name}}
	if x.head, err = practical.Read("practical.txt", file); err != nil {
		return nil, err
	}
	if x.attempt, err = practical.Reopen(x.keep, d.Now()); err != nil {
		return nil, err
	}
	return &Interrupted{x: x}, nil
}

// Draw implements desk.Screen.
func (s *Interrupted) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	before, is := s.x.attempt.State().(practical.Interrupted)
	if !is {
		return next
	}
	page(d, s.x.head, func(v voice.Voice, c *ui.Column) {
		if r, away := before.Carried(); away {
			next = s.away(d, v, c, before, r)
			return
		}
		said, on := "bench.exam.interrupted", "bench.exam.leton"
		switch {
		case before.Ended():
			said, on = "bench.exam.finished", "bench.exam.show-code"
		case before.Begun() == 0:
			said = "bench.exam.interrupted.first"
		}
		c.Para(v.Text(said, "candidate", before.Candidate(), "n", before.Begun()), ui.Body)
		c.Gap(8)
		entered := desk.Secret(d.UI, c, "passphrase", v.Text("bench.exam.passphrase"), &s.passphrase)
		c.Flow(func(f *ui.Flow) {
			if f.Button("let on", v.Text(on), ui.Primary) || entered {
				next = s.x.opened(&s.passphrase, s.x.allow)
			}
			if f.Button("assessor", v.Text("bench.assessor.entry"), ui.Plain) {
				next = s.x.opened(&s.passphrase, s.assess)
			}
		})
	})
	return next
}

// away says that the attempt was carried to another machine.
func (s *Interrupted) away(d *desk.Desk, v voice.Voice, c *ui.Column, before practical.Interrupted, r practical.Ruling) (next desk.Next) {
	next = desk.Stay{}
	c.Para(v.Text("bench.assessor.away", "candidate", before.Candidate(), "at", r.At.Format("15:04"), "reason", r.Reason), ui.Body)
	c.Gap(6)
	if s.saved != "" {
		c.Para(v.Text("bench.assessor.away.file", "file", s.saved), ui.Strong)
		c.Gap(6)
	}
	c.Para(v.Text("bench.assessor.away.back"), ui.Note)
	c.Gap(8)
	desk.Secret(d.UI, c, "passphrase", v.Text("bench.exam.passphrase"), &s.passphrase)
	c.Flow(func(f *ui.Flow) {
		if f.Button("done", v.Text("bench.assessor.away.done"), ui.Primary) {
			next = s.x.opened(&s.passphrase, func() (desk.Next, error) { return desk.EndExam{}, s.x.putAway("") })
		}
		if d.Save != nil && f.Button("save carried", v.Text("bench.assessor.away.save"), ui.Plain) {
			next = s.x.opened(&s.passphrase, func() (desk.Next, error) { return desk.Stay{}, s.save() })
		}
		if f.Button("take back", v.Text("bench.assessor.away.take"), ui.Plain) {
			next = s.x.opened(&s.passphrase, s.takeBack)
		}
	})
	return next
}

// assess goes on, and has the assessor come in at once, who can close what cannot go on.
func (s *Interrupted) assess() (desk.Next, error) {
	next, err := s.x.allow()
	if err != nil {
		if s.x.attempt.AdmitAssessor(s.x.plan, s.x.d.Voice().Text("bench.assessor.not-on"), s.x.d.Now()) != nil {
			return nil, err
		}
		s.x.d.Notice.Refuse(err)
		return desk.Bench{Screen: &Assessor{x: s.x}}, nil
	}
	if _, over := s.x.attempt.State().(practical.Over); over {
		return next, nil
	}
	page, err := s.x.assess()
	if err != nil { // the candidate goes on all the same
		s.x.d.Notice.Refuse(err)
		return next, nil
	}
	return page, nil
}

// takeBack goes on here with what was carried away.
func (s *Interrupted) takeBack() (desk.Next, error) {
	if err := s.x.attempt.TakeUp(s.x.d.Now()); err != nil {
		return nil, err
	}
	return s.x.allow()
}

// save saves what is carried to another machine.
func (s *Interrupted) save() error {
	x := s.x
	before, _ := x.attempt.State().(practical.Interrupted)
	file, err := x.d.Store.Read(folder(x.head) + given)
	if err != nil {
		return err
	}
	data, err := practical.Pack(x.plan, file, before.Candidate(), x.keep)
	if err != nil {
		return err
	}
	s.saved, err = x.d.Save(strings.Join([]string{seat.Slug(x.head.ID), seat.Slug(before.Candidate())}, "-")+practical.CarriedEnding, data)
	return err
}
