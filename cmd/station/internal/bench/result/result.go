// Package result is the screen that shows what a sitting came to: the mark, and
// what there is to learn from it.
package result

import (
	"time"

	"conoid/cmd/internal/debrief"
	"conoid/cmd/internal/report"
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
	sitting *seat.Practice
	mark    *scoring.Mark
	review  review
}

// review is what is worked out while the mark is read already.
type review struct {
	debrief  *debrief.Debrief // nil until it was worked out
	pictures []debrief.Picture
	failed   error
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
	s := &Screen{sitting: p, mark: m}
	d.Check(d.History.Remember(s.reached(d.Now())))
	d.Work.Behind(func() { s.review = work(p, done, d.Work.Pause) })
	return s, nil
}

// reached is the sitting as the history has it.
func (s *Screen) reached(when time.Time) history.Reached {
	c, n := s.sitting.Case(), s.sitting.Notes()
	return history.Reached{
		Log: s.sitting.Name(), ID: c.ID, Title: c.Title, Case: c.Hash(), Level: c.Level, When: when,
		Left: float64(s.mark.DefocusEquivalent), Band: s.mark.Band, Steps: s.mark.Steps.Total, Clock: n.Clock, Hints: n.Hints,
		Guided: n.Guided, Drill: string(n.Drill), Branch: n.Branch, Kinds: c.Difficulties(),
	}
}

// work is the review, and an expert's sitting with the same patient.
func work(p *seat.Practice, done *sitting.Sitting, pause func()) (r review) {
	par, err := scoring.ParWith(p.Case(), done, scoring.ParSeeds)
	if err != nil {
		return review{failed: err}
	}
	seed := p.Notes().Seed
	d, err := debrief.Of(p.Case(), done, &seed, par)
	if err != nil {
		return review{failed: err}
	}
	if err := d.Expert(); err != nil {
		return review{failed: err}
	}
	r.pictures, r.failed = d.Pictures(pause)
	r.debrief = d
	return r
}

// Name implements desk.Screen.
func (s *Screen) Name() string { return "result" }

// TakesFiles implements desk.Screen.
func (s *Screen) TakesFiles() bool { return true }

// Tick implements desk.Screen: the sitting is over.
func (s *Screen) Tick(*desk.Desk, time.Duration) desk.Next { return desk.Stay{} }

// Patient implements desk.Seated.
func (s *Screen) Patient(v voice.Voice) desk.Patient {
	return chairside.PatientOf(v, s.sitting.Visit().Chair, s.sitting.Notes().Clock)
}

// Mark is the mark of the sitting.
func (s *Screen) Mark() *scoring.Mark { return s.mark }

// Reviewed reports whether the review was worked out, and what stopped it.
func (s *Screen) Reviewed() (bool, error) { return s.review.debrief != nil, s.review.failed }

// Draw implements desk.Screen.
func (s *Screen) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	u, v, m := d.UI, d.Voice(), s.mark
	d.Page("result", 920*max(1, u.Text*0.8), func(c *ui.Column) {
		c.Gap(desk.Gap)
		c.Para(s.sitting.Case().Texts(v.Language).Title, ui.Quiet)
		c.Gap(2)
		c.Para(report.Verdict(v, m), ui.Title)
		c.Gap(10)
		d.ShowNotice(c)
		table(u, v, c, m)
		c.Gap(8)
		c.Para(v.Text("bench.result.left", "left", m.DefocusEquivalent), ui.Body)
		c.Para(v.Text("bench.result.taken", "steps", m.Steps.Total, "lenses", m.Steps.Lens, "charts", m.Steps.Chart,
			"questions", m.Steps.Question, "clock", s.sitting.Notes().Clock, "lived", chairside.Lived(float64(m.Seconds))), ui.Body)
		if n := s.sitting.Notes().Hints; n > 0 {
			c.Para(v.Text("bench.hint.count", "n", n), ui.Body)
		}
		c.Gap(8)
		s.review.expert(v, c)
		c.Gap(10)
		next = s.buttons(d, c)
		c.Gap(8)
		s.review.draw(u, v, c)
		c.Para(v.Text("caution"), ui.Caution)
		c.Gap(desk.Gap)
	})
	return next
}

// buttons are what can be done next.
func (s *Screen) buttons(d *desk.Desk, c *ui.Column) (next desk.Next) {
	next = desk.Stay{}
	v, n := d.Voice(), s.sitting.Notes()
	c.Flow(func(f *ui.Flow) {
		if f.Button("again", v.Text("bench.result.again"), ui.Primary) {
			next = desk.Sit{Case: s.sitting.Case(), How: seat.How{Guided: n.Guided, Drill: n.Drill, Seed: &n.Seed, Sealed: n.Sealed}}
		}
		if f.Button("replay", v.Text("bench.result.replay"), ui.Plain) {
			next = desk.Replay{Name: s.sitting.Name()}
		}
		if d.Save != nil && s.review.debrief != nil && f.Button("save debrief", v.Text("bench.result.page"), ui.Plain) {
			next = desk.Later{Work: func() desk.Next { return s.savePage(d) }}
		}
		if d.Save != nil && f.Button("save log", v.Text("bench.result.save"), ui.Plain) {
			s.saveLog(d)
		}
		if f.Button("home", v.Text("bench.result.home"), ui.Plain) {
			next = desk.Later{Work: func() desk.Next { return desk.Leave{} }}
		}
	})
	return next
}

// expert tells what the expert finds with the same patient.
func (r review) expert(v voice.Voice, c *ui.Column) {
	switch {
	case r.failed != nil:
		c.Para(v.Sentence(v.Error(r.failed)), ui.Refusal)
	case r.debrief == nil:
		c.Para(v.Text("bench.result.expert.waiting"), ui.Quiet)
	default:
		run := r.debrief.Run()
		c.Para(v.Text("bench.result.expert", "rx", run.Found, "steps", run.Steps), ui.Body)
	}
}

// saveLog hands the log to the user.
func (s *Screen) saveLog(d *desk.Desk) {
	var where string
	data, err := s.sitting.Log()
	if err == nil {
		where, err = d.Save(seat.Slug(s.sitting.Case().ID)+".jsonl", data)
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
		where, err = d.Save(seat.Slug(s.sitting.Case().ID)+".html", page)
	}
	if err != nil {
		d.Notice.Refuse(err)
		return desk.Stay{}
	}
	d.Notice.Tell("bench.page.saved", "file", where)
	return desk.Stay{}
}
