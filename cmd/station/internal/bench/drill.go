package bench

import (
	"conoid/sim/expert"
	"conoid/sim/sitting"
)

// drill is where a sitting starts with the earlier work done.
type drill string

// The drills; the empty one is the whole sitting.
const (
	atFog    drill = "fog"
	atFan    drill = "fan"
	atArrow  drill = "arrow"
	atBlocks drill = "blocks"
	atSphere drill = "sphere"
)

var drills = []drill{atFog, atFan, atArrow, atBlocks, atSphere}

// prepared is the work that an expert does with the same patient before the
// drill begins.
func (t *seat) prepared() ([]sitting.Action, error) {
	if t.notes.Drill == "" {
		return nil, nil
	}
	chair := t.s.Again(t.s.Keys())
	if _, err := expert.Examine(chair, expert.BriefOf(t.s.Setup())); err != nil {
		return nil, err
	}
	var out []sitting.Action
	for _, e := range chair.Events() {
		out = append(out, e.Action)
	}
	out = out[:t.notes.Drill.begins(out)]
	t.s = t.s.Again(t.s.Keys())
	return out, nil
}

// begins is the number of actions before a drill begins: before the first
// lens change, or before the chart of the stage is first shown. Where an eye
// gives no such stage, the drill begins at the last one that there is.
func (d drill) begins(actions []sitting.Action) int {
	first := func(from int, is func(a sitting.Action) bool) int {
		for i := from; i < len(actions); i++ {
			if is(actions[i]) {
				return i
			}
		}
		return -1
	}
	shows := func(names ...sitting.ChartName) func(a sitting.Action) bool {
		return func(a sitting.Action) bool {
			for _, n := range names {
				if a.Do == sitting.Show && a.Chart == n {
					return true
				}
			}
			return false
		}
	}
	lens := func(a sitting.Action) bool {
		return a.Do == sitting.Take || a.Do == sitting.Put || a.Do == sitting.Exchange
	}
	fog := max(0, first(0, lens))
	fan := max(fog, first(fog, shows(sitting.Fan, sitting.Clock)))
	arrow := max(fan, first(fan, shows(sitting.Arrow)))
	blocks := max(arrow, first(arrow, shows(sitting.Blocks)))
	sphere := max(blocks, first(blocks, shows(sitting.Letters, sitting.Duochrome)))
	return map[drill]int{atFog: fog, atFan: fan, atArrow: arrow, atBlocks: blocks, atSphere: sphere}[d]
}
