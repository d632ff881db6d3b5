package cohort

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"conoid/sim/fact"
)

// z95 times a standard deviation to either side holds 95 % of a normal
// distribution.
const z95 = 1.96

// Class describes a class. Totals, Alpha, SEM and the discrimination of items
// rest on the candidates who have every item (listwise deletion); the
// difficulty of an item rests on all who have that item.
type Class struct {
	Candidates int      `json:"candidates"` // all
	Complete   int      `json:"complete"`   // with every item
	LeftOut    []string `json:"leftOut"`    // with an item missing

	Most float64 `json:"most"` // points that can be had in all
	Mean Value   `json:"mean"` // of the totals, points
	SD   Value   `json:"sd"`   // of the totals, divisor n - 1, points
	Min  Value   `json:"min"`  // points
	Max  Value   `json:"max"`  // points

	Alpha  Value `json:"alpha"`  // Cronbach's, at most 1
	SEM    Value `json:"sem"`    // standard error of measurement, points
	Band95 Value `json:"band95"` // 1.96 SEM: a total is good to this many points to either side

	Items []ItemFigures `json:"items"`
}

// ItemFigures describe one item.
type ItemFigures struct {
	Item
	Taken          int   `json:"taken"`          // candidates who have it
	Difficulty     Value `json:"difficulty"`     // mean over most: 0 nobody got a point, 1 everybody got all
	Discrimination Value `json:"discrimination"` // correlation with the sum of the other items, -1 to 1
}

// Describe works out everything that Class has. The error is that of
// Results.Check.
func Describe(r Results) (*Class, error) {
	if err := r.Check(); err != nil {
		return nil, err
	}
	totals, leftOut := r.Totals()
	c := &Class{
		Candidates: len(r.Candidates), Complete: len(totals), LeftOut: append([]string{}, leftOut...),
		Most: r.most(), Items: make([]ItemFigures, len(r.Items)),
	}
	points := make([]float64, len(totals))
	for i, t := range totals {
		points[i] = t.Points
	}
	c.Mean, c.SD, c.Min, c.Max = spread(points)

	columns := r.columns()
	c.Alpha = Alpha(columns)
	c.SEM = SEM(c.SD, c.Alpha)
	c.Band95 = c.SEM
	if c.SEM.OK {
		c.Band95 = Number(z95 * c.SEM.V)
	}
	for i, item := range r.Items {
		taken := r.column(i)
		c.Items[i] = ItemFigures{item, len(taken), difficulty(taken, item.Most), discrimination(columns, i)}
	}
	return c, nil
}

func spread(points []float64) (mid, dev, lo, hi Value) {
	if len(points) == 0 {
		v := None(fact.New("cohort.nobody-complete"))
		return v, v, v, v
	}
	mid, lo, hi = Number(stat.Mean(points, nil)), Number(slices.Min(points)), Number(slices.Max(points))
	if len(points) < 2 {
		return mid, None(fact.New("cohort.one-alone")), lo, hi
	}
	return mid, Number(stat.StdDev(points, nil)), lo, hi
}

// Alpha is Cronbach's alpha of items, each the points of the same candidates
// in the same order:
//
//	k/(k-1) (1 - sum of the items' variances / variance of the totals)
//
// It does not change if all points are multiplied alike. It may be negative.
// It panics unless all items are of one length.
//
// Source: Cronbach (1951), Psychometrika 16:297-334; Bland and Altman (1997),
// BMJ 314:572.
func Alpha(items [][]float64) Value {
	k := len(items)
	if k < 2 {
		return None(fact.New("cohort.few-items", "n", fact.Count(k)))
	}
	n := len(items[0])
	if n < fewest {
		return None(fact.New("cohort.few-complete", "least", fact.Count(fewest), "n", fact.Count(n)))
	}
	totals := make([]float64, n)
	var within float64
	for _, item := range items {
		if len(item) != n {
			panic("cohort: Alpha: items of different lengths")
		}
		within += stat.Variance(item, nil)
		for c, p := range item {
			totals[c] += p
		}
	}
	if flat(totals) {
		return None(fact.New("cohort.totals-alike"))
	}
	return Number(float64(k) / float64(k-1) * (1 - within/stat.Variance(totals, nil)))
}

// SEM is the standard error of measurement in points: SD times the root of
// 1 - reliability. A negative alpha is no reliability, and has none.
//
// Source: Harvill (1991), Educational Measurement: Issues and Practice
// 10(2):33-41 (from memory).
func SEM(dev, alpha Value) Value {
	switch {
	case !dev.OK:
		return None(fact.New("cohort.no-sd", "why", dev.Why))
	case !alpha.OK:
		return None(fact.New("cohort.no-alpha", "why", alpha.Why))
	case alpha.V < -1e-12: // an alpha of 0 comes out so far below it by rounding
		return None(fact.New("cohort.alpha-negative"))
	}
	return Number(dev.V * math.Sqrt(max(0, 1-alpha.V)))
}

// difficulty is common practice: the mean as a part of what can be had.
func difficulty(points []float64, most float64) Value {
	if len(points) == 0 {
		return None(fact.New("cohort.nobody-has-item"))
	}
	return Number(stat.Mean(points, nil) / most)
}

// discrimination is the corrected item-rest correlation: the item itself is
// not part of the sum that it is compared with, or it would agree with itself.
//
// Source: Henrysson (1963), Psychometrika 28:211-218 (from memory).
func discrimination(columns [][]float64, i int) Value {
	if len(columns) < 2 {
		return None(fact.New("cohort.no-other-item"))
	}
	item := columns[i]
	if len(item) < fewest {
		return None(fact.New("cohort.few-complete", "least", fact.Count(fewest), "n", fact.Count(len(item))))
	}
	rest := make([]float64, len(item))
	for j, column := range columns {
		for c, p := range column {
			if j != i {
				rest[c] += p
			}
		}
	}
	switch {
	case flat(item):
		return None(fact.New("cohort.item-alike"))
	case flat(rest):
		return None(fact.New("cohort.rest-alike"))
	}
	return Number(correlation(item, rest))
}
