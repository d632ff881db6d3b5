package chair

import (
	"conoid/cases"
	"conoid/cases/begun"
	"conoid/sim/sitting"
)

// Drill is where a sitting starts with the earlier work done; the empty one is the
// whole sitting.
type Drill = cases.Stage

// Given is the work that an expert does with the same patient before a drill
// begins.
func Given(d Drill, i Insight) ([]sitting.Action, error) {
	s, err := i.Again(nil)
	if err != nil {
		return nil, err
	}
	given, _, err := begun.Given(d, s)
	return given, err
}

// Give does that work, marked as given, and tells how many actions it was.
func (l *Local) Give(d Drill) (n int, err error) {
	given, err := Given(d, l)
	if err != nil {
		return 0, err
	}
	for _, a := range given {
		if _, err := l.do(a, sitting.Aside{Given: true}); err != nil {
			return 0, err
		}
	}
	return len(given), nil
}
