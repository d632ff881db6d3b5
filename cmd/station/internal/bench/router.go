package bench

import (
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/exam"
	"conoid/cmd/station/internal/bench/home"
	"conoid/cmd/station/internal/bench/lesson"
	"conoid/cmd/station/internal/bench/replay"
	"conoid/cmd/station/internal/bench/result"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/sim/fact"
)

// follow goes where a screen says.
func (a *App) follow(next desk.Next) {
	if next == (desk.Stay{}) {
		return
	}
	a.again = true
	switch n := next.(type) {
	case desk.Open:
		a.overlay = n.Overlay
	case desk.Close:
		a.overlay = nil
	case desk.Later:
		a.later(n.Work)
	case desk.Sit:
		a.desk.Notice.Clear()
		a.later(func() desk.Next { return a.begin(n) })
	case desk.GoOn:
		a.later(func() desk.Next { return a.resume(n.Name) })
	case desk.Result:
		a.later(func() desk.Next { return a.result(n.Practice) })
	case desk.Replay:
		a.later(func() desk.Next { return a.replay(n.Name) })
	case desk.Exam:
		a.desk.Notice.Clear()
		a.show(exam.New(n.Head, n.File, n.Carried))
	default:
		a.settle(next)
	}
}

// settle goes where a screen says at once.
func (a *App) settle(next desk.Next) {
	switch n := next.(type) {
	case desk.Bench:
		a.show(n.Screen)
	case desk.Seat:
		a.show(chairside.Practise(n.Practice))
		keepOpen(a.desk, n.Practice.Name())
	case desk.Lesson:
		a.follow(lessonOf(a.desk, n.ID))
	case desk.Leave:
		a.leave()
	case desk.EndExam:
		a.desk.Change(func(s *settings.Settings) { s.Exam = "" })
		a.desk.Notice.Clear()
		if n.Told != "" {
			a.desk.Notice.Tell(n.Told)
		}
		a.show(home.New(a.desk))
	case desk.Home:
		a.show(home.New(a.desk))
	}
}

// later has work done once the screen that shows a wait was painted.
func (a *App) later(work func() desk.Next) {
	a.desk.Work.Do(func() { a.follow(work()) })
}

// show shows another screen, from its top and with nothing in front.
func (a *App) show(s desk.Screen) {
	a.screen, a.overlay = s, nil
	a.desk.Fresh()
}

// keepOpen notes the sitting that goes on when the bench opens again.
func keepOpen(d *desk.Desk, name string) {
	d.Change(func(s *settings.Settings) { s.Open = name })
}

// begin begins a sitting.
func (a *App) begin(n desk.Sit) desk.Next {
	p, err := a.desk.Seats.Begin(n.Case, n.How)
	if err != nil {
		a.desk.Notice.Refuse(err)
		return desk.Close{}
	}
	if try := p.Tried(); try != nil {
		a.desk.Notice.Tell("bench.try.begun", "n", fact.Count(try.Step))
	}
	return desk.Seat{Practice: p}
}

// resume goes on with a sitting where its log ends.
func (a *App) resume(name string) desk.Next {
	p, torn, err := a.desk.Seats.Resume(name)
	if err != nil {
		a.desk.Notice.Refuse(err)
		keepOpen(a.desk, "")
		return desk.Home{}
	}
	return a.resumed(p, torn)
}

// resumed shows a sitting that goes on, or what it came to.
func (a *App) resumed(p *seat.Practice, torn bool) desk.Next {
	a.desk.Notice.Clear()
	if torn {
		a.desk.Notice.Refuse(fact.Refuse("bench.resume.torn"))
	}
	if chair.Over(p.Visit().Chair) {
		return desk.Result{Practice: p}
	}
	return desk.Seat{Practice: p}
}

// replay steps through a finished sitting.
func (a *App) replay(name string) desk.Next {
	r, err := a.desk.Seats.Replay(name)
	if err != nil {
		a.desk.Notice.Refuse(err)
		return desk.Close{}
	}
	a.desk.Notice.Clear()
	return desk.Bench{Screen: replay.New(a.desk, r)}
}

// result is what a sitting came to. For its marks all of it is done again.
func (a *App) result(p *seat.Practice) desk.Next {
	s, err := result.Of(a.desk, p)
	if err != nil {
		a.desk.Notice.Refuse(err)
		return desk.Stay{}
	}
	keepOpen(a.desk, "")
	return desk.Bench{Screen: s}
}

// lessonOf is the assignment of an ID as it stands now.
func lessonOf(d *desk.Desk, id string) desk.Next {
	s, err := lesson.New(d, id)
	if err != nil {
		d.Notice.Refuse(err)
		return desk.Stay{}
	}
	return desk.Bench{Screen: s}
}

// leave goes back home, or to the assignment; the sitting can go on later.
func (a *App) leave() {
	task := taskOf(a.screen)
	if s, is := a.screen.(*chairside.Screen); is {
		a.desk.Check(s.Keep())
	}
	a.desk.Notice.Clear()
	keepOpen(a.desk, "")
	a.show(home.New(a.desk))
	if task != "" {
		a.follow(lessonOf(a.desk, task))
	}
}

// taskOf is the assignment of the sitting on a screen; "" for none.
func taskOf(screen desk.Screen) string {
	var n chair.Notes
	switch s := screen.(type) {
	case *chairside.Screen:
		n = s.Visit().Notes
	case *result.Screen:
		n = s.Notes()
	case *result.Withheld:
		n = s.Notes()
	}
	if n.Terms == nil {
		return ""
	}
	return n.Terms.Assignment
}
