// Package begun begins sittings at a stage of the method: what comes before it is done by
// an expert, as the bench, the terminal and all who try an assignment have it.
//
// [Given] is that work. A [Chair] is a sitting that begins so, and in which nothing is
// allowed but what an assignment allows; [Examine] has an expert sit it.
package begun

import (
	"slices"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Given is what an expert does in a sitting before a stage begins, and the stage that then
// begins: where an eye gives no such stage, the last one that there is. The sitting itself
// stays as it is; the work is that of its keys.
func Given(at cases.Stage, s *sitting.Sitting) ([]sitting.Action, cases.Stage, error) {
	if at == "" {
		return nil, "", nil
	}
	s = s.Again(s.Keys())
	if _, err := expert.Examine(s, expert.BriefOf(s.Setup())); err != nil {
		return nil, "", err
	}
	var all []sitting.Action
	for _, e := range s.Events() {
		all = append(all, e.Action)
	}
	n, reached := begins(at, all)
	return all[:n], reached, nil
}

// begins is the number of actions before a stage begins, before the first lens change or
// before its chart is first shown, and which stage that is.
func begins(at cases.Stage, actions []sitting.Action) (n int, reached cases.Stage) {
	for _, s := range stages {
		if i := slices.IndexFunc(actions[n:], s.first); i >= 0 {
			n, reached = n+i, s.stage
		}
		if s.stage == at {
			break
		}
	}
	return n, reached
}

// stages are how each stage is known to begin, in the order of the method.
var stages = []struct {
	stage cases.Stage
	first func(sitting.Action) bool
}{
	{cases.AtFog, func(a sitting.Action) bool {
		return a.Do == sitting.Take || a.Do == sitting.Put || a.Do == sitting.Exchange
	}},
	{cases.AtFan, shows(chart.DialChart)},
	{cases.AtArrow, shows(chart.ArrowChart)},
	{cases.AtBlocks, shows(chart.BlockChart)},
	{cases.AtSphere, shows(chart.LetterChart, chart.ColourChart)},
}

func shows(kinds ...chart.Kind) func(sitting.Action) bool {
	return func(a sitting.Action) bool {
		return a.Do == sitting.Show && slices.Contains(kinds, chart.Named(a.Chart).Kind)
	}
}

// Chair is a sitting as an assignment has it. What comes before the stage at which the work
// begins is marked as given, and may be done with any chart.
type Chair struct {
	*sitting.Sitting
	Stage   cases.Stage // at which the own work begins; "" for the whole sitting
	given   []sitting.Action
	allowed cases.Allowed
}

// Sit is a chair with the person and the luck of a sitting in which nothing was done yet.
// A nil assignment leaves the whole of it.
func Sit(s *sitting.Sitting, a *cases.Assignment) (*Chair, error) {
	if a == nil {
		return &Chair{Sitting: s}, nil
	}
	given, at, err := Given(a.Begin, s)
	return &Chair{s, at, given, a.Allowed()}, err
}

// own reports whether what was given is done.
func (c *Chair) own() bool { return len(c.Sitting.Events()) >= len(c.given) }

// Do does an action, if the assignment allows it.
func (c *Chair) Do(a sitting.Action) (sitting.Event, error) {
	if !c.own() {
		e, err := c.Sitting.Do(a)
		if err == nil {
			e = c.Annotate(sitting.Aside{Given: true})
		}
		return e, err
	}
	if err := c.allowed.Refuse(a); err != nil {
		return sitting.Event{}, err
	}
	return c.Sitting.Do(a)
}

// Begin does what is given.
func (c *Chair) Begin() error {
	for _, a := range c.given {
		if _, err := c.Do(a); err != nil {
			return err
		}
	}
	return nil
}

// Limits are what is allowed now, for who heeds it.
func (c *Chair) Limits() expert.Limits {
	return expert.Limits{
		Chart:    func(n chart.Name) bool { return !c.own() || c.allowed.Chart(n) },
		Question: func(q patient.Question) bool { return !c.own() || c.allowed.Question(q) },
	}
}

// Examine has an expert sit as an assignment has it; nil for the whole. S is a sitting in
// which nothing was done yet. An expert who has come to a stage does what the one did who
// came there before, so that the way up to it is the same.
func Examine(s *sitting.Sitting, a *cases.Assignment) (*expert.Result, error) {
	c, err := Sit(s, a)
	if err != nil {
		return nil, err
	}
	b := expert.BriefOf(s.Setup())
	b.Limits = c.Limits()
	return expert.Examine(c, b)
}
