package bench

import (
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/scoring/practical"
)

// drawExam draws what stands around the cases of a practical.
func (a *App) drawExam() {
	u, x := a.ui, a.exam
	all := u.Window()
	wide := min(all.W-2*gap, 760*max(1, u.Text*0.8))
	a.column("exam", paper.Rect{X: (all.W - wide) / 2, W: wide, H: all.H}, func(c *ui.Column) {
		c.Gap(gap)
		c.Para(a.l("exam.title"), ui.Quiet)
		c.Para(x.head.Title, ui.Title)
		if x.head.Rehearsal {
			c.Para(a.l("exam.rehearsal"), ui.Strong)
		}
		c.Gap(8)
		a.drawNotice(c)
		if a.later != nil {
			c.Para(a.l("home.waiting"), ui.Quiet)
		}
		switch now := x.attempt.State().(type) {
		case practical.Entering:
			a.drawEntering(c)
		case practical.Interrupted:
			a.drawInterrupted(c, now)
		case practical.Ready:
			a.drawReady(c, now)
		case practical.Over:
			a.drawOver(c, now)
		}
		c.Gap(gap)
		c.Para(a.l("caution"), ui.Caution)
		c.Gap(gap)
	})
}

// drawEntering asks for the candidate's number and the assessor's passphrase.
func (a *App) drawEntering(c *ui.Column) {
	x := a.exam
	c.Para(a.l("exam.about"), ui.Body)
	c.Gap(4)
	c.Para(a.l("exam.signed", x.head.SignedBy), ui.Quiet)
	c.Gap(8)
	a.entry(c, "candidate", a.l("exam.number"), &x.candidate)
	c.Para(a.l("exam.number.about"), ui.Note)
	c.Gap(8)
	entered := a.secret(c, "passphrase", a.l("exam.passphrase"), &x.passphrase)
	c.Flow(func(f *ui.Flow) {
		if f.Button("admit", a.l("exam.admit"), ui.Primary) || entered {
			a.admit()
		}
		if f.Button("turn back", a.l("exam.back"), ui.Plain) {
			a.do(a.dismiss)
		}
	})
}

// secret is a field for a passphrase; it tells whether Enter was pressed.
func (a *App) secret(c *ui.Column, id, label string, text *string) bool {
	c.Para(label, ui.Strong)
	c.Gap(2)
	_, entered := a.ui.Secret(id, paper.Rect{X: c.X, Y: c.Y, W: min(c.W, 320*a.ui.Text), H: a.ui.RowHeight()}, label, text)
	c.Gap(a.ui.RowHeight() + 8)
	return entered
}

func (a *App) drawInterrupted(c *ui.Column, now practical.Interrupted) {
	x := a.exam
	c.Para(a.l("exam.interrupted", now.Candidate(), now.Begun()), ui.Body)
	c.Gap(8)
	entered := a.secret(c, "passphrase", a.l("exam.passphrase"), &x.passphrase)
	c.Flow(func(f *ui.Flow) {
		if f.Button("let on", a.l("exam.leton"), ui.Primary) || entered {
			a.letOn()
		}
	})
}

func (a *App) drawReady(c *ui.Column, now practical.Ready) {
	x := a.exam
	c.Para(a.l("exam.ready", now.Candidate(), now.Place(), len(x.plan.Cases)), ui.Body)
	c.Gap(4)
	perCase, total := x.plan.Times(now.Candidate())
	if perCase > 0 {
		c.Para(a.l("exam.percase", minutes(perCase)), ui.Body)
	}
	if total > 0 {
		c.Para(a.l("exam.total", minutes(max(0, total-now.Spent()))), ui.Body)
	}
	c.Para(a.l("exam.rules"), ui.Quiet)
	c.Gap(10)
	c.Flow(func(f *ui.Flow) {
		if f.Button("begin", a.l("exam.begin"), ui.Primary) {
			a.beginCase()
		}
		if f.Button("settings", a.l("settings.title"), ui.Plain) {
			a.dialog = settingsDialog
		}
	})
}

func (a *App) drawOver(c *ui.Column, now practical.Over) {
	x := a.exam
	c.Para(a.l("exam.over"), ui.Body)
	c.Gap(10)
	if x.result == nil {
		if a.later == nil {
			c.Flow(func(f *ui.Flow) {
				if f.Button("save result", a.l("exam.save"), ui.Primary) {
					a.do(a.saveResult)
				}
			})
		}
		return
	}
	c.Para(a.l("exam.code"), ui.Strong)
	c.Para(now.Record().Code(), ui.Title)
	c.Para(a.l("exam.code.about"), ui.Quiet)
	c.Gap(10)
	if x.plan.Show.Mark {
		for _, m := range x.marks {
			c.Para(m, ui.Body)
		}
		if len(x.marks) < len(x.cases()) {
			c.Para(a.l("exam.marking"), ui.Quiet)
		}
		c.Gap(8)
	}
	if x.saved != "" {
		c.Para(a.l("exam.saved", x.saved), ui.Body)
		c.Gap(8)
	}
	c.Flow(func(f *ui.Flow) {
		if a.o.Save != nil && f.Button("save result", a.l("exam.save"), ui.Plain) {
			a.do(a.saveResult)
		}
		if f.Button("dismiss", a.l("exam.dismiss"), ui.Plain) {
			a.do(a.dismiss)
		}
	})
}
