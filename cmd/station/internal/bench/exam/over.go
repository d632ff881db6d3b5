package exam

import (
	"strings"
	"time"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// Over is the end: every case is handed in.
type Over struct {
	idle
	x     *room
	s     practical.Over
	saved string // where it went
	marks []mark // of each case, if the practical shows them
	asks  bool   // whether to finish although cases were not begun
	kept  bool   // the result is on the disk, and the code may be told
}

// mark is the mark of a case, or why there is none.
type mark struct {
	points float64
	err    error
}

// over is the end, where the result is handed out once it is on the disk: a machine that stops
// before would come to another code.
func over(x *room, s practical.Over) *Over {
	o := &Over{x: x, s: s, kept: x.d.Store.Settled()}
	if o.kept {
		o.handOut()
	}
	return o
}

// Tick implements desk.Screen.
func (s *Over) Tick(d *desk.Desk, _ time.Duration) desk.Next {
	if s.kept || !d.Store.Settled() {
		return desk.Stay{}
	}
	s.kept = true
	return desk.Later{Work: func() desk.Next {
		s.handOut()
		return desk.Stay{}
	}}
}

// handOut hands the result to the assessor; then the marks are worked out, if they are
// shown.
func (s *Over) handOut() {
	s.save()
	if s.x.plan.Show.Mark {
		s.x.d.Work.Behind(s.work)
	}
}

// work works out the marks that a candidate is shown at the end. The truth
// itself is not.
func (s *Over) work() {
	for _, sat := range s.s.Record().Cases() {
		points, err := s.x.points(sat)
		s.marks = append(s.marks, mark{points, err})
	}
}

// save hands the result to the assessor: the same file each time.
func (s *Over) save() {
	x := s.x
	if x.d.Save == nil {
		return
	}
	where, result, err := "", []byte(nil), error(nil)
	if result, err = x.attempt.Result(); err == nil {
		where, err = x.d.Save(s.fileName(), result)
	}
	if err == nil {
		s.saved = where
	}
	x.d.Check(err)
}

// fileName is what the result is called: after the practical, the candidate, and the
// first group of the code, so that two results of one candidate are two files, and the
// file can be held against a slip.
func (s *Over) fileName() string {
	group, _, _ := strings.Cut(s.s.Code(), "-")
	return strings.Join([]string{seat.Slug(s.x.head.ID), seat.Slug(s.s.Candidate()), group}, "-") + practical.ResultEnding
}

// Draw implements desk.Screen.
func (s *Over) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	page(d, s.x.head, func(v voice.Voice, c *ui.Column) {
		c.Para(s.said(v), ui.Body)
		c.Gap(10)
		if !s.kept {
			c.Para(v.Text("bench.exam.keeping"), ui.Strong)
			return
		}
		s.code(d.UI, v, c)
		c.Flow(func(f *ui.Flow) {
			if d.Save != nil && f.Button("save result", v.Text("bench.exam.save"), ui.Plain) {
				next = desk.Later{Work: func() desk.Next {
					s.save()
					return desk.Stay{}
				}}
			}
			if !s.asks && f.Button("dismiss", v.Text("bench.exam.dismiss"), ui.Plain) {
				next = s.dismiss(d)
			}
		})
		if s.asks {
			next = s.ask(d, v, c)
		}
	})
	return next
}

// dismiss puts everything away; where cases were not begun it asks first.
func (s *Over) dismiss(d *desk.Desk) desk.Next {
	if _, closed := s.s.Closed(); !closed && !s.asks && s.rest() > 0 {
		s.asks = true
		return desk.Stay{}
	}
	return desk.Later{Work: func() desk.Next { return orRefuse(d, desk.EndExam{}, s.x.putAway("")) }}
}

// ask asks whether to finish although cases were not begun.
func (s *Over) ask(d *desk.Desk, v voice.Voice, c *ui.Column) (next desk.Next) {
	next = desk.Stay{}
	c.Gap(8)
	c.Para(v.Text("bench.exam.dismiss.rest", "n", fact.Count(s.rest())), ui.Strong)
	c.Flow(func(f *ui.Flow) {
		if f.Button("dismiss now", v.Text("bench.exam.dismiss.now"), ui.Plain) {
			next = s.dismiss(d)
		}
		if f.Button("dismiss not", v.Text("bench.end.back"), ui.Plain) {
			s.asks = false
		}
	})
	return next
}

// rest is how many cases were not begun; 0 where something else was kept since, too.
func (s *Over) rest() int {
	if done := len(s.s.Record().Cases()); done > 0 {
		return len(s.x.plan.Cases) - done
	}
	return 0
}

// said is that all is over, and why, where the assessor closed it.
func (s *Over) said(v voice.Voice) string {
	if r, closed := s.s.Closed(); closed {
		return v.Text("bench.assessor.over", "candidate", s.s.Candidate(), "at", r.At.Format("15:04"), "reason", r.Reason)
	}
	if n := s.rest(); n > 0 {
		return v.Text("bench.exam.over.rest", "candidate", s.s.Candidate(), "n", fact.Count(n))
	}
	return v.Text("bench.exam.over", "candidate", s.s.Candidate())
}

// code is what the candidate writes down, and the marks.
func (s *Over) code(u *ui.UI, v voice.Voice, c *ui.Column) {
	c.Para(v.Text("bench.exam.code"), ui.Strong)
	c.Gap(4)
	stamp(u, c, s.s.Code())
	c.Para(v.Text("bench.exam.code.about"), ui.Note)
	c.Gap(12)
	if s.x.plan.Show.Mark {
		s.drawMarks(v, c)
		c.Gap(8)
	}
	if s.saved != "" {
		c.Para(v.Text("bench.exam.saved", "file", s.saved), ui.Body)
		c.Gap(8)
	}
}

// stamp writes a code in a frame, as large as there is room for, as it is to be copied.
func stamp(u *ui.UI, c *ui.Column, code string) {
	const pad = 14
	style := ui.Title
	if u.Width(code, style)+2*pad > c.W {
		style = ui.Strong
	}
	if u.Width(code, style)+2*pad > c.W { // in two lines, not broken within a group
		groups := strings.SplitAfter(code, "-")
		half := (len(groups) + 1) / 2
		code = strings.Join(groups[:half], "") + " " + strings.Join(groups[half:], "")
	}
	wide := min(c.W, u.Width(code, style)+2*pad)
	high := u.ParaHeight(code, wide-2*pad+1, style)
	r := c.Block(high + 2*pad)
	r.W = wide
	u.Scene().Frame(r, 6, 2, u.Theme.Ink)
	u.Para(r.X+pad, r.Y+pad, wide-2*pad+1, code, style)
	c.Gap(8)
}

func (s *Over) drawMarks(v voice.Voice, c *ui.Column) {
	for n, m := range s.marks {
		if m.err != nil {
			c.Para(v.Sentence(v.Error(m.err)), ui.Body)
			continue
		}
		c.Para(v.Text("bench.exam.mark", "n", n+1, "points", fact.Points(m.points)), ui.Body)
	}
	if len(s.marks) < len(s.s.Record().Cases()) {
		c.Para(v.Text("bench.exam.marking"), ui.Quiet)
	}
}
