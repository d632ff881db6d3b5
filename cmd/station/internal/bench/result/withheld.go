package result

import (
	"time"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/chairside"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring"
)

// Withheld is a finished sitting whose assignment keeps the truth back: its points, or that
// it is done.
type Withheld struct {
	sitting *seat.Practice
	report  *scoring.Report // nil while it is worked out, and where points are kept back too
	failed  error
}

// withhold marks a sitting, behind the screen, and shows nothing of the truth. The history
// has nothing of it either, for it tells how much was left.
func withhold(d *desk.Desk, p *seat.Practice) (*Withheld, error) {
	done, err := p.Again()
	if err != nil {
		return nil, err
	}
	d.Check(p.Done())
	s := &Withheld{sitting: p}
	if s.marks() {
		d.Work.Behind(func() {
			c := p.Marked()
			par, err := scoring.ParWith(c, done, scoring.ParSeeds)
			if err == nil {
				s.report, err = scoring.Review(c, done, par)
			}
			if s.failed = err; err == nil {
				d.Check(p.Came(float64(s.report.Total)))
			}
		})
	}
	return s, nil
}

// marks reports whether the points are shown.
func (s *Withheld) marks() bool { return s.sitting.Notes().Terms.Shown() == cases.ShowsMarks }

// Notes are what is kept beside the log.
func (s *Withheld) Notes() chair.Notes { return s.sitting.Notes() }

// Name implements desk.Screen.
func (s *Withheld) Name() string { return "result" }

// TakesFiles implements desk.Screen.
func (s *Withheld) TakesFiles() bool { return true }

// Tick implements desk.Screen: the sitting is over.
func (s *Withheld) Tick(*desk.Desk, time.Duration) desk.Next { return desk.Stay{} }

// Patient implements desk.Seated.
func (s *Withheld) Patient(v voice.Voice) desk.Patient {
	return chairside.PatientOf(v, s.sitting.Visit().Chair, s.Notes().Clock)
}

// Draw implements desk.Screen.
func (s *Withheld) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	v := d.Voice()
	d.Column("result", d.Pinned(), func(c *ui.Column) {
		c.Para(s.sitting.Case().Texts(v.Language).Title, ui.Note)
		c.Para(v.Text("bench.lesson.stated"), ui.Title)
		c.Para(v.Text("bench.lesson.withheld"), ui.Body)
		c.Rule()
		d.ShowNotice(c)
		s.points(d.UI, v, c)
		c.Gap(8)
		if press(d.UI, c, []button{{"home", v.Text("bench.lesson.back"), ui.Primary, true}}) != "" {
			next = desk.Later{Work: func() desk.Next { return desk.Leave{} }}
		}
		c.Rule()
		c.Para(v.Text("caution"), ui.Caution)
	})
	return next
}

// points are the parts of the marks, if they are shown.
func (s *Withheld) points(u *ui.UI, v voice.Voice, c *ui.Column) {
	switch {
	case !s.marks():
	case s.failed != nil:
		c.Para(v.Sentence(v.Error(s.failed)), ui.Refusal)
	case s.report == nil:
		c.Para(v.Text("bench.result.expert.waiting"), ui.Quiet)
	default:
		c.Head(v.Text("bench.debrief.marks", "points", s.report.Total, "most", s.report.Most))
		for _, p := range s.report.Parts {
			drawPart(u, v, c, p)
		}
	}
}
