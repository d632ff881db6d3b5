// Package cohort describes a class: how reliable its marks are, which items
// are hard or tell good candidates from poor ones, where borderline regression
// puts the pass mark, and how well two sets of measurements agree.
//
// [Describe] makes a [Class] of the [Results] of candidates. [Borderline] finds a
// [Cut], [ToReview] the totals that lie too near to it to be sure of, and [Agree]
// compares two sets.
//
// It works on plain numbers and knows neither patients nor sittings. What is
// not defined says so and why, see [Value].
//
// These are figures about marks given in training. Who passes is decided by
// people, under the rules of their institution. A small class can be told
// apart by its statistics even without names.
package cohort

import (
	"slices"

	"gonum.org/v1/gonum/floats"

	"conoid/sim/fact"
)

// fewest candidates of whom anything beyond a mean is said. Two points always
// lie on a line, so that a correlation or regression of two says nothing: the
// project's choice, and the least with which there is a residual.
const fewest = 3

// Item is one thing that is marked: a case, or one point of procedure.
type Item struct {
	Name string  `json:"name"`
	Most float64 `json:"most"` // points that can be had, above 0
}

// Results are the points of a class: Points[c][i] is what Candidates[c] got for
// Items[i], from 0 to the item's Most. A missing entry is None with the reason.
// Missing is not 0: who was ill has not failed.
type Results struct {
	Candidates []string  `json:"candidates"` // numbers, not names; each once
	Items      []Item    `json:"items"`
	Points     [][]Value `json:"points"`
}

// Check says what is wrong with r, and where; nil is well.
func (r Results) Check() error {
	if len(r.Points) != len(r.Candidates) {
		return fact.Refuse("cohort.rows", "rows", fact.Count(len(r.Points)), "candidates", fact.Count(len(r.Candidates)))
	}
	for i, item := range r.Items {
		if !(item.Most > 0) || !usable(item.Most) {
			return fact.Refuse("cohort.item-most", "n", fact.Count(i+1), "item", item.Name, "most", fact.Number(item.Most), "largest", fact.Number(largest))
		}
	}
	seen := map[string]bool{}
	for c, candidate := range r.Candidates {
		if seen[candidate] {
			return fact.Refuse("cohort.twice", "candidate", candidate)
		}
		seen[candidate] = true
		if len(r.Points[c]) != len(r.Items) {
			return fact.Refuse("cohort.entries", "candidate", candidate, "entries", fact.Count(len(r.Points[c])), "items", fact.Count(len(r.Items)))
		}
		for i, p := range r.Points[c] {
			if p.OK && !(p.V >= 0 && p.V <= r.Items[i].Most) {
				return fact.Refuse("cohort.points", "candidate", candidate, "points", fact.Number(p.V),
					"n", fact.Count(i+1), "item", r.Items[i].Name, "most", fact.Number(r.Items[i].Most))
			}
		}
	}
	return nil
}

// Total is what one candidate got in all.
type Total struct {
	Candidate string  `json:"candidate"`
	Points    float64 `json:"points"`
}

// Totals are the candidates who have every item, in the order of r, and those
// left out because an entry is missing (listwise deletion).
func (r Results) Totals() (totals []Total, leftOut []string) {
	for c, candidate := range r.Candidates {
		if r.complete(c) {
			totals = append(totals, Total{candidate, floats.Sum(numbers(r.Points[c]))})
		} else {
			leftOut = append(leftOut, candidate)
		}
	}
	return totals, leftOut
}

func (r Results) complete(c int) bool {
	return !slices.ContainsFunc(r.Points[c], func(p Value) bool { return !p.OK })
}

// columns are the points item by item, of the candidates who have every item.
func (r Results) columns() [][]float64 {
	out := make([][]float64, len(r.Items))
	for c := range r.Candidates {
		if r.complete(c) {
			for i, p := range r.Points[c] {
				out[i] = append(out[i], p.V)
			}
		}
	}
	return out
}

// column is every number there is of one item, also of candidates who miss
// another one.
func (r Results) column(i int) []float64 {
	var out []float64
	for c := range r.Candidates {
		if p := r.Points[c][i]; p.OK {
			out = append(out, p.V)
		}
	}
	return out
}

// most is the number of points that can be had for all items.
func (r Results) most() float64 {
	var n float64
	for _, item := range r.Items {
		n += item.Most
	}
	return n
}

func numbers(values []Value) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = v.V
	}
	return out
}
