package study

import (
	"conoid/cases"
	"conoid/scoring"
	"conoid/sim/sitting"
)

// Marked is all that the study takes from the report of a sitting.
type Marked struct {
	Total float64
	Cost  map[string]float64 // points that each finding cost, by its ID
}

// mark is the one place that knows how a report looks.
func mark(c *cases.Case, s *sitting.Sitting, par scoring.Par) (Marked, error) {
	r, err := scoring.Review(c, s, par)
	if err != nil {
		return Marked{}, err
	}
	m := Marked{Total: float64(r.Total), Cost: map[string]float64{}}
	for _, f := range r.Findings {
		m.Cost[f.ID] = float64(f.Cost)
	}
	return m, nil
}
