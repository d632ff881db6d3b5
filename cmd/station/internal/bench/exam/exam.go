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
	file       []byte            // as it was handed out
	carried    *practical.Parcel // an attempt that was carried here; nil for none
	candidate  string            // as it is typed
	passphrase string
}

// New is the door of a practical, and of an attempt at it that was carried here, unless
// that is nil.
func New(head *practical.Sealed, file []byte, carried *practical.Parcel) *Door {
	return &Door{head: head, file: file, carried: carried}
}

// Draw implements desk.Screen.
func (s *Door) Draw(d *desk.Desk) (next desk.Next) {
	next = desk.Stay{}
	page(d, s.head, func(v voice.Voice, c *ui.Column) {
		about := "bench.exam.about"
		if s.carried != nil {
			about = "bench.assessor.carried.door"
		}
		c.Para(v.Text(about), ui.Body)
		c.Gap(4)
		c.Para(v.Text("bench.exam.signed", "practical", s.head.ID, "code", s.head.SignedBy), ui.Note)
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
		x := &room{d: d, head: s.head, attempt: &practical.Attempt{}, carried: s.carried}
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
