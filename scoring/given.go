package scoring

import (
	"slices"

	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// given is what was done for a student before their own work began: that is no work of
// theirs, though they may rely on what was heard in it.
type given struct {
	events  int // at the beginning
	steps   int
	seconds fact.Seconds
}

// givenIn is what of a sitting was given. The error is that of doing it once more.
func givenIn(s *sitting.Sitting) (g given, err error) {
	events := s.Events()
	own := slices.IndexFunc(events, func(e sitting.Event) bool { return e.Aside == nil || !e.Aside.Given })
	if g.events = own; own < 0 {
		g.events = len(events)
	}
	if g.events == 0 {
		return g, nil
	}
	before := s.Again(s.Keys())
	err = before.Redo(events[:g.events])
	g.steps, g.seconds = before.StepsOf(s.Setup().Tested).Total(), fact.Seconds(before.State().Seconds)
	return g, err
}

// all reports whether all of some events were given.
func (g given) all(events fact.Events) bool {
	return g.events > 0 && len(events) > 0 && slices.Max(events) <= g.events
}

// faults are those that the student made.
func (g given) faults(all []fault) []fault {
	return slices.DeleteFunc(all, func(f fault) bool { return g.all(f.Events) })
}

// heeding are the answers that it was the student's to follow.
func (g given) heeding(all []Followed) []Followed {
	return slices.DeleteFunc(all, func(f Followed) bool { return g.all(f.Events) })
}

// Left is what is left of a par for a student who was given what a sitting begins with.
func (p Par) Left(s *sitting.Sitting) (Par, error) {
	g, err := givenIn(s)
	if err != nil || g.events == 0 {
		return p, err
	}
	return g.par(p), nil
}

// par is what is left of a par for the student's part.
func (g given) par(p Par) Par {
	p.Steps = max(1, p.Steps-float64(g.steps))
	p.Seconds = max(1, p.Seconds-g.seconds)
	return p
}
