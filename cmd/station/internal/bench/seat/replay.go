package seat

import (
	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/scoring"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Replay is a finished sitting that is stepped through: a chair with its
// insight, in which nothing is done but what was done.
type Replay struct {
	practice *Practice
	events   []sitting.Event
	steps    []int // after each event
	at       int
	s        *sitting.Sitting
	talk     []chair.Told
}

var (
	_ chair.Chair   = (*Replay)(nil)
	_ chair.Insight = (*Replay)(nil)
)

// Replay begins at the beginning of a sitting.
func (k *Keeper) Replay(name string) (*Replay, error) {
	p, _, err := k.Resume(name)
	if err != nil {
		return nil, err
	}
	r := &Replay{practice: p, events: p.local.Events()}
	r.steps = sitting.StepsAfter(r.events)
	return r, r.To(0)
}

// Practice is the sitting that is looked at.
func (r *Replay) Practice() *Practice { return r.practice }

// Review is what the answers of the whole sitting say. It takes a moment. Points are not
// told in a replay, so that it does without a par.
func (r *Replay) Review() (*scoring.Report, error) {
	done, err := r.practice.Again()
	if err != nil {
		return nil, err
	}
	return scoring.Review(r.practice.Case(), done, scoring.Par{})
}

// At is how many of so many events have been done.
func (r *Replay) At() (n, all int) { return r.at, len(r.events) }

// Step is the step at which the replay stands, of so many, and whether it stands behind
// that, at something that is no step of its own.
func (r *Replay) Step() (n, all int, behind bool) {
	before := 0
	if r.at > 1 {
		before = r.steps[r.at-2]
	}
	if r.at > 0 {
		n = r.steps[r.at-1]
	}
	return n, r.steps[len(r.steps)-1], r.at > 0 && n == before
}

// Next is the action that comes next, if any does.
func (r *Replay) Next() (sitting.Action, bool) {
	if r.at == len(r.events) {
		return sitting.Action{}, false
	}
	return r.events[r.at].Action, true
}

// Given is the actions that have been done.
func (r *Replay) Given() []sitting.Action {
	given := make([]sitting.Action, 0, r.at)
	for _, e := range r.events[:r.at] {
		given = append(given, e.Action)
	}
	return given
}

// To does the first n actions of the sitting again.
func (r *Replay) To(n int) (err error) {
	n = min(max(n, 0), len(r.events))
	if n < r.at || r.at == 0 {
		r.talk, r.at = nil, 0
		if r.s, err = r.practice.local.Again(nil); err != nil {
			return err
		}
	}
	for ; r.at < n; r.at++ {
		e := r.events[r.at]
		if e.Action.Do == sitting.End {
			continue // which ends it, and shows nothing
		}
		if err := r.s.Redo([]sitting.Event{e}); err != nil {
			return err
		}
		r.talk = append(r.talk, chair.Told{Event: e, After: r.s.State()})
	}
	return nil
}

func (r *Replay) Brief() chair.Brief            { return r.practice.local.Brief() }
func (r *Replay) Card() cases.Card              { return r.practice.local.Card() }
func (r *Replay) State() sitting.State          { return r.s.State() }
func (r *Replay) Pending() []*chair.Pending     { return nil }
func (r *Replay) Steps() sitting.Steps          { return r.s.Steps() }
func (r *Replay) Events() []sitting.Event       { return r.s.Events() }
func (r *Replay) Talk() []chair.Told            { return r.talk }
func (r *Replay) Questions() []patient.Question { return nil }

func (r *Replay) EndPoint(sitting.Side) (sitting.EndPoint, bool) { return sitting.EndPoint{}, false }

// Do refuses: the sitting is only looked at.
func (r *Replay) Do(a sitting.Action, _ sitting.Aside) *chair.Pending {
	return chair.Sent(a).Decide(chair.Told{}, fact.Refuse("bench.replay.only"))
}

func (r *Replay) Sees(side sitting.Side, f optics.Frame) (patient.Sight, bool) {
	return r.s.Sees(side, f)
}
func (r *Replay) Accommodation() float64 { return r.s.Accommodation() }

func (r *Replay) Again(events []sitting.Event) (*sitting.Sitting, error) {
	return r.practice.local.Again(events)
}
