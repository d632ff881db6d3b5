package cohort

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"conoid/sim/fact"
)

// Pair is two numbers that belong together.
type Pair struct{ X, Y float64 }

// Origin is a line of least squares through the origin, y = Slope x, laid through all
// pairs of several groups. X and y are in the same unit, so that the slope has none.
type Origin struct {
	Groups int   `json:"groups"` // with pairs
	Spread Value `json:"spread"` // root mean square, over the groups, of the length of the x of one
	Slope  Value `json:"slope"`
	SE     Value `json:"se"`    // standard error of the slope
	Lower  Value `json:"lower"` // of its 95 % interval
	Upper  Value `json:"upper"` // likewise
}

// ThroughOrigin lays a line through the origin. The pairs of a group may hang together
// as they like: what is uncertain is judged from group to group, by leaving out one
// after the other (the jackknife), with Student's t of one degree of freedom less than
// there are groups. Fewer than three groups, or x that are all 0, give no line. It
// panics unless all numbers are finite.
//
// Source: Tukey (1958), Ann Math Stat 29:614; Miller (1974), Biometrika 61:1-15 (both
// from memory).
func ThroughOrigin(groups [][]Pair) Origin {
	groups = slices.DeleteFunc(slices.Clone(groups), func(g []Pair) bool { return len(g) == 0 })
	k := len(groups)
	if k < fewest {
		o := Origin{Groups: k}
		return o.Without(fact.New("cohort.few-groups", "least", fact.Count(fewest), "n", fact.Count(k)))
	}
	x, y := split(groups)
	o := Origin{Groups: k, Spread: Number(math.Sqrt(squares(x) / float64(k)))}
	without := make([]float64, k)
	for i := range groups {
		less, ly := split(slices.Concat(groups[:i], groups[i+1:]))
		if squares(less) < 1e-12 {
			return o.Without(fact.New("cohort.one-group-varies"))
		}
		without[i] = slope(less, ly)
	}
	at := slope(x, y)
	var off float64
	for _, b := range without {
		off += (b - at) * (b - at)
	}
	n := float64(k)
	se := math.Sqrt(off * (n - 1) / n)
	half := distuv.StudentsT{Sigma: 1, Nu: n - 1}.Quantile(0.975) * se
	o.Slope, o.SE, o.Lower, o.Upper = Number(at), Number(se), Number(at-half), Number(at+half)
	return o
}

// Without is the line with its slope withheld, and why.
func (o Origin) Without(why fact.Fact) Origin {
	o.Slope, o.SE, o.Lower, o.Upper = None(why), None(why), None(why), None(why)
	if !o.Spread.OK {
		o.Spread = None(why)
	}
	return o
}

func split(groups [][]Pair) (x, y []float64) {
	for _, p := range slices.Concat(groups...) {
		x, y = append(x, p.X), append(y, p.Y)
	}
	return x, y
}

// slope is that of least squares through the origin.
func slope(x, y []float64) float64 {
	_, b := stat.LinearRegression(x, y, nil, true)
	return b
}

// squares is the sum of squares.
func squares(x []float64) (sum float64) {
	for _, v := range x {
		sum += v * v
	}
	return sum
}
