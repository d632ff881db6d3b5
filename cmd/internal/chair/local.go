package chair

import (
	"reflect"
	"slices"

	"conoid/cases"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Local is a chair in this process. Its actions are decided at once.
type Local struct {
	brief Brief
	c     *cases.Case
	s     *sitting.Sitting
	log   *sitting.Log // nil keeps none
	talk  []Told
	card  *cases.Card         // once it was asked for
	words func(Told) []string // in which answers are said; nil for none
	lost  error               // why the sitting cannot go on
}

var (
	_ Chair   = (*Local)(nil)
	_ Insight = (*Local)(nil)
)

// Begin seats the patient of a case and begins the log with the header; log may
// be nil to keep none. The pause is as of sitting.StartPausing.
func Begin(c *cases.Case, h sitting.Header, log Log, pause func()) (*Local, error) {
	return BeginWith(sitting.StartPausing(c.Setup(), h.Keys, pause), c, h, log)
}

// BeginWith begins with a patient of the case who is seated already, with the keys
// of the header, and at whom nothing was done yet.
func BeginWith(s *sitting.Sitting, c *cases.Case, h sitting.Header, log Log) (*Local, error) {
	l := seat(s, c)
	var err error
	if l.log, err = begin(log, h); err != nil {
		return nil, fact.Because(err, "chair.not-begun")
	}
	return l, nil
}

// Resume seats the patient of a log again, where the log ends, and goes on with
// it; log may be nil to keep no more. A torn line at its end is cut off.
func Resume(c *cases.Case, rec *sitting.Record, log Log, pause func()) (*Local, error) {
	if rec.Header.Case != c.Hash() {
		return nil, fact.Refuse("chair.other-case", "title", rec.Header.Title)
	}
	return ResumeWith(sitting.StartPausing(c.Setup(), rec.Header.Keys, pause), c, rec, log)
}

// ResumeWith goes on with a patient of the log's case who is seated already, as
// [BeginWith] begins.
func ResumeWith(s *sitting.Sitting, c *cases.Case, rec *sitting.Record, log Log) (*Local, error) {
	l := seat(s, c)
	for _, e := range rec.Events {
		if err := l.s.Redo([]sitting.Event{e}); err != nil {
			return nil, err
		}
		l.talk = append(l.talk, Told{e, l.s.State()})
	}
	var err error
	if l.log, err = goOn(log, rec); err != nil {
		return nil, fact.Because(err, "chair.not-continued")
	}
	return l, nil
}

func seat(s *sitting.Sitting, c *cases.Case) *Local { return &Local{brief: BriefOf(c), c: c, s: s} }

// Speak gives the words in which answers will be said. They are kept with them.
func (l *Local) Speak(words func(Told) []string) { l.words = words }

// PauseWithin is as of sitting.Sitting.
func (l *Local) PauseWithin(within func()) { l.s.PauseWithin(within) }

// Do carries out an action, keeps it, and only then answers. An action that
// cannot be kept has not happened.
func (l *Local) Do(a sitting.Action, aside sitting.Aside) *Pending {
	return Sent(a).Decide(l.do(a, aside))
}

func (l *Local) do(a sitting.Action, aside sitting.Aside) (Told, error) {
	if l.lost != nil {
		return Told{}, l.lost
	}
	e, err := l.s.Do(a)
	if err != nil {
		return Told{}, err
	}
	told := l.annotated(e, aside)
	if l.log != nil {
		if err := l.log.Append(told.Event); err != nil {
			l.undo()
			return Told{}, fact.Because(err, "chair.not-kept")
		}
	}
	l.talk = append(l.talk, told)
	return told, nil
}

// annotated is the event that was just done, with what went on around it.
func (l *Local) annotated(e sitting.Event, aside sitting.Aside) Told {
	told := Told{e, l.s.State()}
	if l.words != nil && e.Answer != nil {
		aside.Words = l.words(told)
	}
	if !reflect.ValueOf(aside).IsZero() {
		told.Event = l.s.Annotate(aside)
	}
	return told
}

// undo goes back to before the last event, to where the log is: the patient is
// seated anew, and what the log says is done again.
func (l *Local) undo() {
	events := l.s.Events()
	s, err := l.Again(events[:len(events)-1])
	if err != nil { // the same actions gave the same answers before
		l.lost = fact.Because(err, "chair.lost")
		return
	}
	l.s = s
}

func (l *Local) Brief() Brief                  { return l.brief }
func (l *Local) State() sitting.State          { return l.s.State() }
func (l *Local) Pending() []*Pending           { return nil }
func (l *Local) Steps() sitting.Steps          { return l.s.Steps() }
func (l *Local) Events() []sitting.Event       { return l.s.Events() }
func (l *Local) Talk() []Told                  { return slices.Clip(l.talk) }
func (l *Local) Questions() []patient.Question { return l.s.Questions() }

func (l *Local) EndPoint(side sitting.Side) (sitting.EndPoint, bool) {
	return l.s.EndPoint(side)
}

func (l *Local) Card() cases.Card {
	if l.card == nil {
		card := l.c.CardOf(l.s, l.brief.Tested)
		l.card = &card
	}
	return *l.card
}

func (l *Local) Sees(side sitting.Side, f optics.Frame) (patient.Sight, bool) {
	return l.s.Sees(side, f)
}

func (l *Local) Accommodation() float64 { return l.s.Accommodation() }

func (l *Local) Again(events []sitting.Event) (*sitting.Sitting, error) {
	s := l.s.Again(l.s.Keys())
	return s, s.Redo(events)
}
