package chairside

import (
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/bench/sheet"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// grant does what was wished.
func (s *Screen) grant(d *desk.Desk, w wish.Wish) desk.Next {
	switch w := w.(type) {
	case wish.Do:
		s.guessing = nil
		return s.do(d, w.Action)
	case wish.Soon:
		s.guessing = nil
		return desk.Later{Work: func() desk.Next { return s.do(d, w.Action) }}
	case wish.Ask:
		return s.ask(d, w)
	case wish.Guess:
		s.guessing = nil
		return s.put(d, w)
	case wish.Expect:
		if s.guessing != nil {
			s.guessing.guess = w.Guess
		}
	case wish.Unask:
		s.guessing = nil
	case wish.Touch:
		s.hands.cell = w.Cell
	case wish.Hold:
		s.hands.turning = &w.Turning
	case wish.Release:
		return s.release(d)
	case wish.Peep:
		if s.hands.Peep(w, d.At) {
			s.noted("view")
		}
	case wish.Lean:
		s.hands.Lean(w)
	case wish.TrialSet:
		s.sheet = sheet.NewTrialSet(s.about(d, s.View(d), nil), w.Cell)
	case wish.Undo:
		return s.undo(d)
	case wish.Hand:
		s.hands.lifts = w
	case wish.Show:
		return s.show(d, w.Sheet)
	case wish.Leave:
		return desk.Later{Work: func() desk.Next { return desk.Leave{} }}
	case wish.Conoid:
		if !w.Hidden && (s.without() || d.Settings.Now().NoConoid) {
			s.noted("conoid")
		}
		s.opens = !w.Hidden
		Furnish(d, w)
	default:
		if c, is := w.(wish.Curtain); is && c.To >= 1 {
			s.hands.shut()
		}
		before := d.Settings.Now()
		Furnish(d, w)
		s.opened(before, d.Settings.Now())
	}
	return desk.Stay{}
}

// opened notes that the student has uncovered the patient's view.
func (s *Screen) opened(before, now settings.Settings) {
	if before.Curtain >= 1 && now.Curtain < 1 {
		s.noted("view")
	}
}

// Furnish does what is wished of the room and not of the patient.
func Furnish(d *desk.Desk, w wish.Wish) {
	switch w := w.(type) {
	case wish.Curtain:
		set := d.Settings.Now()
		set.Curtain = w.To
		d.Settings.Try(set)
		if w.Keep {
			d.Check(d.Settings.Change(set))
		}
	case wish.Conoid:
		d.Change(func(set *settings.Settings) { set.NoConoid = w.Hidden })
	case wish.Tell:
		d.Notice.Refuse(fact.Refuse(w.ID))
	}
}

// do carries out an action; a refusal is shown.
func (s *Screen) do(d *desk.Desk, act sitting.Action) desk.Next {
	d.Notice.Clear()
	told, err, decided := s.visit.Do(act, d.Now()).Ready()
	if decided {
		act = told.Event.Action
	}
	if err == nil && changes(act.Do) && s.helps(chair.Led) {
		s.hands.shut() // what is seen through it is to be expected before it is seen
	}
	if act.Do == sitting.Show || act.Do == sitting.Point {
		s.hands.Lean(wish.Lean{Back: true}) // what hangs there is to be seen
	}
	if err == nil { // lenses move at once: only answers wait
		s.hands.sliding.slide(d, act, s.visit.Brief().Tested)
	}
	return s.hear(d)
}

// hear takes in what became of actions that were on their way.
func (s *Screen) hear(d *desk.Desk) desk.Next {
	if s.visit.Busy() {
		d.UI.Again()
	}
	news, err := s.visit.Hear()
	if err != nil {
		d.Notice.Refuse(err)
	}
	s.answered(d, news)
	if len(news) > 0 && chair.Over(s.visit.Chair) {
		return s.use.Stated(d)
	}
	return desk.Stay{}
}

// ask puts a question; where answers are predicted the student says first what the patient
// will answer.
func (s *Screen) ask(d *desk.Desk, q wish.Ask) desk.Next {
	s.hands.shut()
	if s.predicts(d) {
		if s.guessing = predicted(q, s.visit.State().Chart, lastRow(s.visit.Talk())); s.guessing != nil {
			s.hands.Lean(wish.Lean{Back: true}) // it is marked on the wall
			return desk.Stay{}
		}
	}
	return s.put(d, wish.Guess{Ask: q})
}

// put asks, once the screen that says so was painted.
func (s *Screen) put(d *desk.Desk, g wish.Guess) desk.Next {
	act := sitting.Action{Do: sitting.Ask, Question: g.Ask.Question, Size: g.Ask.Size, Leading: g.Ask.Leading}
	return desk.Later{Work: func() desk.Next {
		if g.Guess.Kind != "" {
			s.visit.Predict(g.Guess.String())
		}
		return s.do(d, act)
	}}
}

// release leaves what was turned where it is.
func (s *Screen) release(d *desk.Desk) desk.Next {
	t, st := s.hands.turning, s.visit.State()
	s.hands.turning = nil
	switch {
	case t == nil:
		return desk.Stay{}
	case t.Arrow:
		if t.To == st.Pointer {
			return desk.Stay{}
		}
		return s.do(d, wish.Point(t.To).Action)
	case t.Lifted:
		return s.turnLift(d, st.Frames[s.visit.Brief().Tested.Index()].Held, t.To)
	case t.To == int(st.Frames[s.visit.Brief().Tested.Index()].Lenses[t.Cell].Axis):
		return desk.Stay{}
	}
	return s.do(d, wish.Turn(t.Cell, t.To).Action)
}

// show lays a sheet in front.
func (s *Screen) show(d *desk.Desk, which wish.Sheet) desk.Next {
	switch which {
	case wish.Menu:
		s.sheet = sheet.Menu{}
	case wish.Rows:
		s.sheet = sheet.Rows{}
	case wish.Charts:
		s.sheet = sheet.Charts{}
	case wish.Leading:
		s.sheet = &sheet.Leading{}
	case wish.EndPoint:
		f := s.visit.State().Frames[s.visit.Brief().Tested.Index()]
		s.sheet = sheet.NewEnd(d.Voice(), f, s.visit.Events())
	case wish.Hint:
		if p := s.use.Practice(); p != nil {
			s.sheet = sheet.Hint{Advice: s.visit.Hint()}
			d.Check(p.Keep())
		}
	case wish.Card:
		card := sheet.NewCard()
		s.sheet = card
		return desk.Later{Work: func() desk.Next {
			card.Found(s.visit.Card())
			return desk.Stay{}
		}}
	}
	return desk.Stay{}
}
