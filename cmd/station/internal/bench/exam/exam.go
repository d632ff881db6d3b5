// Package exam has the screens around the cases of a practical: the door, what
// stands before a case, the end. Nothing of the truth is shown in a practical,
// and nothing but the charts and the answers.
package exam

import (
	"strings"
	"time"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/scoring/practical"
)

// name is the name of these screens in the status.
const name = "practical"

// idle is what the screens around the cases have in common: no clock runs.
type idle struct{}

// Name implements desk.Screen.
func (idle) Name() string { return name }

// TakesFiles implements desk.Screen.
func (idle) TakesFiles() bool { return false }

// Tick implements desk.Screen.
func (idle) Tick(*desk.Desk, time.Duration) desk.Next { return desk.Stay{} }

// Door asks for the candidate's number and the assessor's passphrase.
type Door struct {
	idle
	head       *practical.Sealed
	file       []byte // as it was handed out
	candidate  string // as it is typed
	passphrase string
}

// New is the door of a practical.
func New(head *practical.Sealed, file []byte) *Door { return &Door{head: head, file: file} }

// Draw implements desk.Screen.
func (s *Door) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	page(d, s.head, func(v voice.Voice, c *ui.Column) {
		c.Para(v.Text("bench.exam.about"), ui.Body)
		c.Gap(4)
		c.Para(v.Text("bench.exam.signed", "code", s.head.SignedBy), ui.Note)
		c.Gap(14)
		entered := s.fields(d.UI, v, c)
		c.Flow(func(f *ui.Flow) {
			if f.Button("admit", v.Text("bench.exam.admit"), ui.Primary) || entered {
				next = s.admit(d)
			}
			if f.Button("turn back", v.Text("bench.exam.back"), ui.Plain) {
				next = desk.Later{Work: func() desk.Next { return desk.EndExam{} }}
			}
		})
	})
	return next
}

// fields are what is typed, beside one another where there is room; it reports whether
// Enter was pressed in the last one.
func (s *Door) fields(u *ui.UI, v voice.Voice, c *ui.Column) (entered bool) {
	left, right, gap, wide := c, c, 8.0, (c.W-24)/2
	if u.Width(v.Text("bench.exam.number"), ui.Strong) <= wide && u.Width(v.Text("bench.exam.passphrase"), ui.Strong) <= wide {
		left, right, gap = u.Column(c.X, c.Y, wide), u.Column(c.X+wide+24, c.Y, wide), 0
	}
	desk.Entry(u, left, "candidate", v.Text("bench.exam.number"), &s.candidate)
	left.Para(v.Text("bench.exam.number.about"), ui.Note)
	left.Gap(gap)
	entered = desk.Secret(u, right, "passphrase", v.Text("bench.exam.passphrase"), &s.passphrase)
	c.Y = max(left.Y, right.Y) + 6
	return entered
}

// admit opens the practical for a candidate.
func (s *Door) admit(d *desk.Desk) desk.Next {
	d.Notice.Clear()
	s.candidate = practical.Candidate(strings.TrimSpace(s.candidate))
	if err := practical.CheckCandidate(s.candidate); err != nil {
		d.Notice.Refuse(err)
		return desk.Stay{}
	}
	return desk.Later{Work: func() desk.Next {
		x := &room{d: d, head: s.head, attempt: &practical.Attempt{}}
		next, err := x.admit(s.candidate, s.passphrase, s.file)
		s.passphrase = ""
		return orRefuse(d, next, err)
	}}
}

// orRefuse is what comes next, or a refusal.
func orRefuse(d *desk.Desk, next desk.Next, err error) desk.Next {
	if err != nil {
		d.Notice.Refuse(err)
		return desk.Stay{}
	}
	return next
}

// Interrupted waits for the assessor to let a candidate go on.
type Interrupted struct {
	idle
	x          *room
	passphrase string
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
	page(d, s.x.head, func(v voice.Voice, c *ui.Column) {
		if before, is := s.x.attempt.State().(practical.Interrupted); is {
			c.Para(v.Text("bench.exam.interrupted", "candidate", before.Candidate(), "n", before.Begun()), ui.Body)
		}
		c.Gap(8)
		entered := desk.Secret(d.UI, c, "passphrase", v.Text("bench.exam.passphrase"), &s.passphrase)
		c.Flow(func(f *ui.Flow) {
			if f.Button("let on", v.Text("bench.exam.leton"), ui.Primary) || entered {
				next = s.letOn(d)
			}
		})
	})
	return next
}

// letOn lets the candidate go on.
func (s *Interrupted) letOn(d *desk.Desk) desk.Next {
	d.Notice.Clear()
	return desk.Later{Work: func() desk.Next {
		next, err := s.x.letOn(s.passphrase)
		s.passphrase = ""
		return orRefuse(d, next, err)
	}}
}
