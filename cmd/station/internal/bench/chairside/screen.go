// Package chairside is the screen with a patient in the chair: input becomes
// wishes, wishes become actions of the sitting, the sitting gives a view, and
// the view is drawn.
package chairside

import (
	"slices"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/conoid"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/seat"
	"conoid/cmd/station/internal/bench/sheet"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Screen is the bench with a patient.
type Screen struct {
	coach
	sheet  sheet.Sheet // nil: none lies in front
	eyes   Eyes
	hands  Hands
	layout Layout
}

// Practise is the bench for a sitting of one's own. Of a case that came sealed, and where an
// assignment keeps the truth back, nothing of it is shown: what the patient sees and the
// conoid tell it.
func Practise(p *seat.Practice) *Screen {
	s := &Screen{coach: coach{visit: p.Visit(), use: practice{p}}}
	if n := p.Notes(); n.Sealed == "" && n.Terms.Shown() == cases.ShowsAll {
		s.eyes = NewEyes(p.Insight())
	}
	return s
}

// Examine is the bench for a practical: nothing of the truth is shown.
func Examine(v *chair.Visit, use Use) *Screen { return &Screen{coach: coach{visit: v, use: use}} }

// Name implements desk.Screen.
func (s *Screen) Name() string { return "bench" }

// TakesFiles implements desk.Screen.
func (s *Screen) TakesFiles() bool { return false }

// Visit is the sitting in use.
func (s *Screen) Visit() *chair.Visit { return s.visit }

// Sheet is what lies in front; nil for nothing.
func (s *Screen) Sheet() sheet.Sheet { return s.sheet }

// Tick implements desk.Screen.
func (s *Screen) Tick(d *desk.Desk, spent time.Duration) desk.Next {
	_, paused := s.sheet.(sheet.Menu)
	return s.use.Tick(d, spent, paused)
}

// Patient implements desk.Seated.
func (s *Screen) Patient(v voice.Voice) desk.Patient {
	return PatientOf(v, s.visit.Chair, s.use.Clock())
}

// PatientOf is what the status tells of a chair.
func PatientOf(v voice.Voice, c chair.Chair, clock time.Duration) desk.Patient {
	b, st := c.Brief(), c.State()
	p := desk.Patient{
		Steps: c.Steps().Total(), Events: len(c.Talk()), Clock: clock,
		Frame: st.Frames[b.Tested.Index()].Prescription().ASCII(),
	}
	for i, t := range slices.Backward(c.Talk()) {
		if t.Event.Answer != nil {
			p.Answers, p.Said = i+1, talk.Answered(v, b, t)
			break
		}
	}
	return p
}

// Draw implements desk.Screen.
func (s *Screen) Draw(d *desk.Desk) desk.Next {
	heard := s.hear(d)
	var wished wish.List
	questions := s.visit.Questions()
	w := s.View(d)
	if s.sheet == nil && !d.Work.Busy() {
		keys(d.UI, w, questions, s.use.Practice() != nil, &wished)
	}
	if w.Wall.Sight {
		s.hands.peeps.keys(w.Wall.Name, d.UI.Down('v') && s.sheet == nil, &wished)
	}
	asking := s.asking(d, w.Waits, questions)
	w.Asking = &asking
	s.stage(d.Voice().By(w.Wall.Labels), &w, asking.Advice)
	s.layout.Draw(d, w, nil, &wished)
	next := s.drawSheet(d, w, questions, &wished)
	for _, one := range wished {
		d.UI.Unsettle()
		if after := s.grant(d, one); after != (desk.Stay{}) {
			next = after
		}
	}
	if heard != (desk.Stay{}) {
		return heard
	}
	return next
}

// View is what is to be drawn.
func (s *Screen) View(d *desk.Desk) View {
	w := s.eyes.Look(d, s.visit.Chair, &s.hands)
	w.Waits = d.Work.Busy() || s.visit.Busy()
	v := d.Voice()
	if t := s.visit.Notes.Terms; t != nil {
		w.Wall.Only = t.Charts
	}
	w.Bar.Title = s.visit.Brief().In(v.Language).Title
	w.Bar.Facts = s.use.Facts(v, s.visit.Chair)
	if barred(s.use, v, w.Notice.Text) {
		w.Bar.Warning = w.Notice.Text
	}
	w.Bar.Buttons = []Button{
		{"menu", v.Text("bench.bar.menu"), ui.Plain, wish.Show{Sheet: wish.Menu}},
		{"end", v.Text("bench.bar.end"), ui.Plain, wish.Show{Sheet: wish.EndPoint}},
		{"card", v.Text("bench.bar.card"), ui.Plain, wish.Show{Sheet: wish.Card}},
	}
	if s.use.Practice() != nil {
		if w.Wall.Noted = s.helps(chair.Alone); w.Wall.Noted {
			w.Bar.Mode = v.Value(chair.Alone)
		}
		if s.without() && w.Conoid != nil && w.Conoid.Shut == conoid.Open {
			w.Conoid.Shut = conoid.Without
		}
		w.Bar.Buttons = append(w.Bar.Buttons, Button{"hint", v.Text("bench.bar.hint"), ui.Ghost, wish.Show{Sheet: wish.Hint}})
	}
	s.guess(v, &w)
	return w
}

// barred reports whether a notice of a use stands in the bar.
func barred(use Use, v voice.Voice, notice string) bool {
	u, tells := use.(telling)
	return notice != "" && (notice == use.Warning(v) || tells && notice == u.Tells(v))
}

// drawSheet draws what lies in front.
func (s *Screen) drawSheet(d *desk.Desk, w View, questions []patient.Question, out *wish.List) desk.Next {
	if s.sheet == nil {
		return desk.Stay{}
	}
	next := s.sheet.Draw(d, s.about(d, w, questions), out)
	switch next.(type) {
	case desk.Close:
		s.sheet = nil
		return desk.Stay{}
	case desk.Open: // in its place
		s.sheet = nil
	}
	return next
}

// about is what sheets are about.
func (s *Screen) about(d *desk.Desk, w View, questions []patient.Question) sheet.View {
	a := sheet.View{
		Brief: s.visit.Brief(), State: s.visit.State(), Nose: w.Nose, Questions: questions, Charts: w.Wall.Only,
		NoConoid: d.Settings.Now().NoConoid, Keys: Keys(), Warning: s.use.Warning(d.Voice()),
	}
	if p := s.use.Practice(); p != nil {
		a.Practice, a.Hints = true, p.Notes().Hints
	} else {
		a.Who = w.Bar.Facts[max(0, len(w.Bar.Facts)-2)]
	}
	if u, is := s.use.(attended); is {
		a.Assessor = u.Assessor()
	}
	if form := d.Form(); form == desk.Upright || form == desk.Beside {
		for _, b := range w.Bar.Buttons[min(1, len(w.Bar.Buttons)):] {
			a.Tools = append(a.Tools, sheet.Tool{ID: b.ID, Label: b.Label, Wish: b.Wish})
		}
	}
	return a
}

// Standing is the end point that stands in the form for it, or what is wrong with
// it; open is false while no such form lies in front.
func (s *Screen) Standing() (act sitting.Action, open bool, err error) {
	e, open := s.sheet.(*sheet.End)
	if open {
		act, err = e.Standing(s.visit.Brief().Room.Vertex)
	}
	return act, open, err
}

// Practised reports whether it is a sitting of one's own, which can be left.
func (s *Screen) Practised() bool { return s.use.Practice() != nil }

// Unsaved reports whether something is typed that is not in the sitting yet.
func (s *Screen) Unsaved() bool {
	card, is := s.sheet.(*sheet.Card)
	return is && card.Unsaved(s.visit.State().Card)
}

// Keep keeps what is kept beside the log, as the sitting is left.
func (s *Screen) Keep() error {
	if p := s.use.Practice(); p != nil {
		return p.Keep()
	}
	return nil
}
