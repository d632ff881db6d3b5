package room

import (
	"errors"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/host/wire"
	"conoid/scoring/practical"
	"conoid/sim/sitting"
)

// longestID is how long what a page calls itself and its requests may be, in bytes:
// our choice, well above the 128 bits that it needs.
const longestID = 64

// Seat is how things stand for the candidate of a session.
func (r *Room) Seat(session string) (*wire.Seat, error) {
	s, stage, err := r.at(session)
	if err != nil {
		return nil, err
	}
	defer s.mu.Unlock()
	if err := s.hear(); err != nil {
		return nil, notKept(err)
	}
	return s.told(stage)
}

// Claim gives the place to a page: what another one sends is refused from now on.
func (r *Room) Claim(session, tab string) (*wire.Seat, error) {
	if tab == "" || len(tab) > longestID {
		return nil, &wire.Problem{Kind: wire.Malformed}
	}
	s, stage, err := r.at(session)
	if err != nil {
		return nil, err
	}
	defer s.mu.Unlock()
	err = r.letIn(s, nil, s.session, tab)
	if err == nil {
		err = s.hear()
	}
	if err != nil {
		return nil, notKept(err)
	}
	return s.told(stage)
}

// Begin begins the candidate's next case. One that is under way goes on.
func (r *Room) Begin(session, tab string) (*wire.Seat, error) {
	s, stage, err := r.at(session)
	if err != nil {
		return nil, err
	}
	defer s.mu.Unlock()
	if err := s.ready(stage, tab); err != nil {
		return nil, err
	}
	if now, is := s.attempt.State().(practical.Ready); is {
		o, err := s.patient(now.Case(), now.Place())
		if err == nil {
			err = s.attempt.Begin(s.time.wall)
		}
		if err != nil {
			return nil, notKept(err)
		}
		s.open = o
	}
	return s.told(stage)
}

// Beat says that a page is there, and whether it is hidden.
func (r *Room) Beat(session, tab string, hidden bool) (*wire.Clock, error) {
	s, stage, err := r.at(session)
	if err != nil {
		return nil, err
	}
	defer s.mu.Unlock()
	if err := s.ours(tab); err != nil {
		return nil, err
	}
	if err := s.hear(); err != nil {
		return nil, notKept(err)
	}
	c := s.clock(stage)
	s.time.hidden.says(hidden && c.Stage == wire.Running)
	return &c, nil
}

// Act does an action, or says again what came of it.
func (r *Room) Act(session string, a wire.Act) (*wire.Done, error) {
	s, stage, err := r.at(session)
	if err != nil {
		return nil, err
	}
	defer s.mu.Unlock()
	if err := s.ours(a.Tab); err != nil {
		return nil, err
	}
	if o, err := s.sat(a.Place); err != nil {
		return nil, err
	} else if again, err := o.again(a); err != nil {
		return nil, err
	} else if again {
		err := notKept(s.settle())
		return s.done(stage, o, a.N), err
	}
	if err := s.ready(stage, a.Tab); err != nil {
		return nil, err
	}
	now, is := s.attempt.State().(practical.Examining)
	if !is || now.Place() != a.Place {
		return nil, s.not(wire.NotNow, stage)
	}
	if err := s.do(a); err != nil {
		return nil, err
	}
	return s.done(stage, s.open, a.N), nil
}

// ours says that another page has the place.
func (s *seat) ours(tab string) error {
	if s.tab == "" || s.tab != tab {
		return &wire.Problem{Kind: wire.Elsewhere}
	}
	return nil
}

// ready says why nothing can be done at a seat, or lets all time until now count.
func (s *seat) ready(stage Stage, tab string) error {
	if err := s.ours(tab); err != nil {
		return err
	}
	if stage == Held || stage == Open && s.attempt.paused() {
		return s.not(wire.Held, stage)
	}
	if stage != Open {
		return s.not(wire.NotNow, stage)
	}
	if err := s.hear(); err != nil {
		return notKept(err)
	}
	return nil
}

func (s *seat) not(kind wire.Kind, stage Stage) error {
	c := s.clock(stage)
	return &wire.Problem{Kind: kind, Clock: &c}
}

func notKept(err error) error {
	if err == nil {
		return nil
	}
	return errors.Join(&wire.Problem{Kind: wire.NotKept}, err)
}

// sat is the case at a place of the candidate's order, which has to be the one that was
// begun last. Those before are not told again: nobody waits for a reply about them, and
// to read one again takes long.
func (s *seat) sat(place int) (*open, error) {
	if place < 1 || place != s.begun() {
		return nil, &wire.Problem{Kind: wire.NotNow}
	}
	if s.open == nil || s.open.place != place {
		o, err := s.patient(s.entry().Order()[place-1], place)
		if err != nil {
			return nil, notKept(err)
		}
		s.open = o
	}
	return s.open, nil
}

// begun is how many cases were begun.
func (s *seat) begun() int {
	now, _ := s.attempt.behind()
	switch now := now.(type) {
	case practical.Examining:
		return now.Place()
	case practical.Ready:
		return now.Place() - 1
	case practical.Over:
		return len(now.Record().Cases())
	}
	return 0
}

// again reports whether an action was done already, by this request; the error says
// that it was done by another, or that one is missing before it.
func (o *open) again(a wire.Act) (bool, error) {
	n := len(o.ids) - 1 // without the header
	switch {
	case a.N < 1 || a.ID == "" || len(a.ID) > longestID:
		return false, &wire.Problem{Kind: wire.Malformed}
	case a.N == n+1:
		return false, nil
	case a.N > n:
		return false, &wire.Problem{Kind: wire.Ahead}
	case o.ids[a.N] == a.ID:
		return true, nil
	}
	return false, &wire.Problem{Kind: wire.Behind, Since: o.events(a.N)}
}

// do does the next action of the case under way. When it was done is told by the time
// of the attempt, as when the case was begun and handed in: the clock on the wall goes
// on while that stands still, and can be set.
func (s *seat) do(a wire.Act) error {
	o := s.open
	if len(o.ids) >= practical.MostLines(len(s.r.plan.Cases)) && a.Action.Do != sitting.End {
		return &wire.Problem{Kind: wire.Refused}
	}
	var err error
	s.r.patients[o.at.Case].alone(func() { _, err = o.chair.Do(a.Action, sitting.Aside{Wall: s.time.wall}).Wait() })
	var refusal *sitting.Refusal
	if errors.As(err, &refusal) {
		return &wire.Problem{Kind: wire.Refused}
	}
	if err == nil {
		err = s.append(o, a.ID)
	}
	if s.time.unkept = err != nil; s.time.unkept {
		s.open, s.steps = nil, stepsOf(s) // as it was kept, it is read again
		return notKept(err)
	}
	return notKept(s.settle())
}

// settle hands in the case under way once its end point is stated: at once, or when the
// bench is heard next.
func (s *seat) settle() error {
	if s.stated() {
		return s.handIn()
	}
	return nil
}

// stated reports whether the end point of the case under way is stated.
func (s *seat) stated() bool {
	now, is := s.attempt.State().(practical.Examining)
	return is && s.open != nil && s.open.place == now.Place() && chair.Over(s.open.chair)
}

// done is the reply to an action that was done; nil when there is none.
func (s *seat) done(stage Stage, o *open, n int) *wire.Done {
	if n < 1 || n >= len(o.ids) {
		return nil
	}
	return &wire.Done{Clock: s.clock(stage), Event: o.events(n)[0]}
}

// clock is how the time stands.
func (s *seat) clock(stage Stage) wire.Clock {
	now, paused := s.attempt.behind()
	c := wire.Clock{Stage: wire.Lobby, Number: s.candidate, Waits: stage == Scheduled, Held: stage == Held || paused, Shut: stage.Over()}
	switch now := now.(type) {
	case practical.Ready:
		c.Stage, c.Place = wire.Ready, now.Place()
	case practical.Examining:
		c.Stage, c.Place, c.Elapsed = wire.Running, now.Place(), now.Elapsed()
		if left, limited := now.Left(); limited {
			c.Left, c.Whole = &left, now.Whole()
		}
	case practical.Over:
		c.Stage = wire.Over
	}
	return c
}

// told is all that the candidate's bench has to know.
func (s *seat) told(stage Stage) (*wire.Seat, error) {
	p := s.r.plan
	perCase, total := s.entry().Times()
	t := &wire.Seat{
		Clock: s.clock(stage), Title: p.Title, Rehearsal: p.Rehearsal, Candidate: s.candidate, Tab: s.tab,
		Places: len(p.Cases), PerCase: perCase, Total: total, ShowClock: p.Show.Clock,
	}
	now, _ := s.attempt.behind()
	switch now := now.(type) {
	case practical.Ready:
		t.Spent = now.Spent()
		t.PerCase, t.Total = now.Times()
		t.Cut.Place, t.Cut.Whole = now.Cut()
	case practical.Over:
		t.Spent, t.Code = now.Spent(), now.Record().Code()
		tellMarks(s, t)
		if _, t.Closed = now.Closed(); !t.Closed {
			t.Cut.Place, t.Cut.Whole = now.Cut()
			t.Rest = t.Places - len(now.Record().Cases())
		}
	case practical.Examining:
		t.Spent = now.Spent()
		t.PerCase, t.Total = now.Times()
		o, err := s.sat(now.Place())
		if err != nil {
			return nil, err
		}
		if s.stated() {
			if err := s.handIn(); err != nil {
				return nil, notKept(err)
			}
			return s.told(stage)
		}
		t.Patient = s.brief(o)
	}
	return t, nil
}

// brief is what is told of a patient. Titles may tell something, and are told where
// the practical shows them.
func (s *seat) brief(o *open) *wire.Patient {
	b := o.chair.Brief()
	t := &wire.Patient{
		Texts: b.Texts, Translated: map[string]cases.Texts{}, Name: b.Name, Age: b.Age, Tested: b.Tested,
		Room: b.Room, Objective: b.Objective, Events: o.events(1), Card: s.r.card(o.at.Case, o.chair),
	}
	if !s.r.plan.Show.Titles {
		t.Texts.Title = ""
	}
	for language, texts := range b.Translated {
		if !s.r.plan.Show.Titles {
			texts.Title = ""
		}
		t.Translated[language] = texts
	}
	return t
}
