// Package result is the screen that shows what a sitting came to: the mark, and
// what there is to learn from it.
package result

import (
	"time"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/debrief"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/history"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/sim/sitting"
)

// Screen is a finished sitting.
type Screen struct {
	page
	sitting *seat.Practice
}

// Of is what a sitting came to, as far as its assignment shows it.
func Of(d *desk.Desk, p *seat.Practice) (desk.Screen, error) {
	if p.Notes().Terms.Shown() != cases.ShowsAll {
		return withhold(d, p)
	}
	return New(d, p)
}

// New marks a sitting, remembers it, and works out the review behind the
// screen.
func New(d *desk.Desk, p *seat.Practice) (*Screen, error) {
	done, err := p.Again()
	if err != nil {
		return nil, err
	}
	m, err := scoring.Of(done)
	if err != nil {
		return nil, err
	}
	d.Check(p.Done())
	s := &Screen{sitting: p, page: page{
		c: p.Case(), notes: p.Notes(), tried: p.Tried(), mark: m, habits: habitsOf(p.Notes().Hints, p.Visit().Events()),
	}}
	d.Check(d.History.Remember(s.reached(d.Now())))
	d.Work.Behind(func() {
		s.review = work(p, done)
		if r := s.review.debrief; r != nil {
			d.Check(d.History.Marked(p.Name(), float64(r.Report.Total)))
			d.Check(p.Came(float64(r.Report.Total)))
		}
		d.Work.Behind(func() { s.look(d.Work.Pause) })
	})
	return s, nil
}

// reached is the sitting as the history has it.
func (s *Screen) reached(when time.Time) history.Reached {
	c, n := s.c, s.notes
	return history.Reached{
		Log: s.sitting.Name(), ID: c.ID, Title: c.Title, Case: c.Hash(), Level: c.Level, When: when,
		Left: float64(s.mark.DefocusEquivalent), Band: s.mark.Band, Steps: s.mark.Steps.Total, Clock: n.Clock, Hints: n.Hints,
		Opened: s.habits.opened, Expected: s.habits.expected,
		Help: n.Help, Drill: string(n.Drill), Branch: n.Branch, Kinds: c.Difficulties(),
	}
}

// work is the review, and an expert's sitting with the same patient.
func work(p *seat.Practice, done *sitting.Sitting) (r review) {
	c := p.Marked()
	par, err := scoring.ParWith(c, done, scoring.ParSeeds)
	if err != nil {
		return review{failed: err}
	}
	seed := p.Notes().Seed
	d, err := debrief.Of(c, done, &seed, par)
	if err != nil {
		return review{failed: err}
	}
	d.Tried = p.Tried()
	if err := d.Expert(); err != nil {
		return review{failed: err}
	}
	return review{debrief: d, lessons: d.Lessons()}
}

// look works out what the patient saw, a picture at a time: first at the dearest
// mistakes.
func (s *Screen) look(pause func()) {
	r := &s.review
	if r.debrief == nil {
		return
	}
	for _, l := range r.lessons {
		if r.failed = r.debrief.Look(l, pause); r.failed != nil {
			return
		}
	}
	r.pictures, r.failed = r.debrief.Pictures(pause)
}

// Notes are what is kept beside the log.
func (s *Screen) Notes() chair.Notes { return s.notes }

// Name implements desk.Screen.
func (s *Screen) Name() string { return "result" }

// TakesFiles implements desk.Screen.
func (s *Screen) TakesFiles() bool { return true }

// Tick implements desk.Screen: the sitting is over.
func (s *Screen) Tick(*desk.Desk, time.Duration) desk.Next { return desk.Stay{} }

// Patient implements desk.Seated.
func (s *Screen) Patient(v voice.Voice) desk.Patient {
	return chairside.PatientOf(v, s.sitting.Visit().Chair, s.notes.Clock)
}

// Mark is the mark of the sitting.
func (s *Screen) Mark() *scoring.Mark { return s.mark }

// Reviewed reports whether the review was worked out, and what stopped it.
func (s *Screen) Reviewed() (bool, error) { return s.review.debrief != nil, s.review.failed }

// Draw implements desk.Screen.
func (s *Screen) Draw(d *desk.Desk) desk.Next {
	switch pressed := s.draw(d); pressed {
	case "again":
		n := s.notes
		return desk.Sit{Case: s.c, How: seat.How{Help: n.Help, Drill: n.Drill, Seed: &n.Seed, Sealed: n.Sealed}}
	case "replay":
		return desk.Replay{Name: s.sitting.Name()}
	case "marks":
		d.UI.ScrollTo("result", s.below)
		d.UI.Again()
	case "save debrief":
		return desk.Later{Work: func() desk.Next { return s.savePage(d) }}
	case "save log":
		s.saveLog(d)
	case "home":
		return desk.Later{Work: func() desk.Next { return desk.Leave{} }}
	default:
		return s.try(pressed)
	}
	return desk.Stay{}
}

// try seats the same patient with the same luck where a mistake was made: in a new
// sitting, in which all that came before is done already.
func (s *Screen) try(pressed string) desk.Next {
	for i, l := range s.review.lessons {
		if pressed == tryID(i+1) {
			n := s.notes
			return desk.Sit{Case: s.c, How: seat.How{
				Help: n.Help, Seed: &n.Seed, Sealed: n.Sealed,
				Branch: s.review.debrief.Before(l), From: s.sitting.Name(), Step: l.Step,
			}}
		}
	}
	return desk.Stay{}
}

// buttons are what can be done next.
func (p *page) buttons(d *desk.Desk) []button {
	v := d.Voice()
	out := []button{{"replay", v.Text("bench.result.replay"), ui.Plain, true}}
	if d.Save != nil {
		out = append(out, button{"save debrief", v.Text("bench.result.keep"), ui.Plain, p.review.debrief != nil})
	}
	return append(out,
		button{"marks", v.Text("bench.result.all"), ui.Plain, true},
		button{"home", v.Text("bench.result.home"), ui.Plain, true})
}

// more is what can be done besides.
func (p *page) more(d *desk.Desk) []button {
	v := d.Voice()
	out := []button{{"again", v.Text("bench.result.again"), ui.Plain, true}}
	if d.Save != nil {
		out = append(out, button{"save log", v.Text("bench.result.save"), ui.Plain, true})
	}
	return out
}

// saveLog hands the log to the user.
func (s *Screen) saveLog(d *desk.Desk) {
	var where string
	data, err := s.sitting.Log()
	if err == nil {
		where, err = d.Save(seat.Slug(s.c.ID)+".jsonl", data)
	}
	if err != nil {
		d.Notice.Refuse(err)
		return
	}
	d.Notice.Tell("bench.result.saved", "file", where)
}

// savePage hands the debrief to the user, as a page to keep and to print.
func (s *Screen) savePage(d *desk.Desk) desk.Next {
	var where string
	page, err := s.review.debrief.HTML(d.Voice())
	if err == nil {
		where, err = d.Save(seat.Slug(s.c.ID)+".html", page)
	}
	if err != nil {
		d.Notice.Refuse(err)
		return desk.Stay{}
	}
	d.Notice.Tell("bench.page.saved", "file", where)
	return desk.Stay{}
}
