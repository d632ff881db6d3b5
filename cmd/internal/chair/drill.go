package chair

import (
	"slices"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/sitting"
)

// Drill is where a sitting starts with the earlier work done; the empty one is the
// whole sitting.
type Drill = cases.Stage

// Given is the work that an expert does with the same patient before a drill
// begins.
func Given(d Drill, i Insight) ([]sitting.Action, error) {
	if d == "" {
		return nil, nil
	}
	s, err := i.Again(nil)
	if err != nil {
		return nil, err
	}
	if _, err := expert.Examine(s, expert.BriefOf(s.Setup())); err != nil {
		return nil, err
	}
	var out []sitting.Action
	for _, e := range s.Events() {
		out = append(out, e.Action)
	}
	return out[:begins(d, out)], nil
}

// begins is the number of actions before a drill begins: before the first lens
// change, or before the chart of the stage is first shown. Where an eye gives no
// such stage, the drill begins at the last one that there is.
func begins(d Drill, actions []sitting.Action) int {
	at := 0
	for _, stage := range stages {
		if i := slices.IndexFunc(actions[at:], stage.first); i >= 0 {
			at += i
		}
		if stage.drill == d {
			break
		}
	}
	return at
}

// stages are how each drill is known to begin, in the order of the method.
var stages = []struct {
	drill Drill
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
