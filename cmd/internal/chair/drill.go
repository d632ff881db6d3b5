package chair

import (
	"slices"

	"conoid/sim/chart"
	"conoid/sim/expert"
	"conoid/sim/sitting"
)

// Drill is where a sitting starts with the earlier work done.
type Drill string

// The drills; the empty one is the whole sitting.
const (
	AtFog    Drill = "fog"
	AtFan    Drill = "fan"
	AtArrow  Drill = "arrow"
	AtBlocks Drill = "blocks"
	AtSphere Drill = "sphere"
)

// Drills are all of them in the order of the method.
func Drills() []Drill { return []Drill{AtFog, AtFan, AtArrow, AtBlocks, AtSphere} }

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
	return out[:d.begins(out)], nil
}

// begins is the number of actions before a drill begins: before the first lens
// change, or before the chart of the stage is first shown. Where an eye gives no
// such stage, the drill begins at the last one that there is.
func (d Drill) begins(actions []sitting.Action) int {
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
	{AtFog, func(a sitting.Action) bool {
		return a.Do == sitting.Take || a.Do == sitting.Put || a.Do == sitting.Exchange
	}},
	{AtFan, shows(chart.DialChart)},
	{AtArrow, shows(chart.ArrowChart)},
	{AtBlocks, shows(chart.BlockChart)},
	{AtSphere, shows(chart.LetterChart, chart.ColourChart)},
}

func shows(kinds ...chart.Kind) func(sitting.Action) bool {
	return func(a sitting.Action) bool {
		return a.Do == sitting.Show && slices.Contains(kinds, chart.Named(a.Chart).Kind)
	}
}
