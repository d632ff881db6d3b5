package cohort

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"
)

// alone has each pair in a group of its own.
func alone(x, y []float64) (out [][]Pair) {
	for i := range x {
		out = append(out, []Pair{{x[i], y[i]}})
	}
	return out
}

// Certified values of the Statistical Reference Datasets of NIST, NoInt1 and NoInt2:
// y = B1 x, with B1 to 15 digits.
func TestALineThroughTheOriginNIST(t *testing.T) {
	var x, y []float64
	for i := range 11 {
		x, y = append(x, 60+float64(i)), append(y, 130+float64(i))
	}
	assert.InDelta(t, 2.07438016528926, ThroughOrigin(alone(x, y)).Slope.V, 1e-13)
	assert.InDelta(t, 0.727272727272727, ThroughOrigin(alone([]float64{4, 5, 6}, []float64{3, 4, 4})).Slope.V, 1e-14)
}

// The patch data of Efron and Tibshirani, An Introduction to the Bootstrap (1993), of
// eight subjects: a ratio of means, -0.0713, with a standard error by the jackknife of
// 0.106 (data and figures from memory). A ratio of sums of y and z is the slope of
// y / root z against root z. Student's t for 7 degrees of freedom is 2.365 in every
// table.
func TestTheJackknifeOfAPublishedRatio(t *testing.T) {
	z := []float64{8406, 2342, 8187, 8459, 4795, 3516, 4796, 10238}
	y := []float64{-1200, 2601, -2705, 1982, -1290, 351, -638, -2719}
	var groups [][]Pair
	for i := range z {
		r := math.Sqrt(z[i])
		groups = append(groups, []Pair{{r, y[i] / r}})
	}
	o := ThroughOrigin(groups)
	assert.InDelta(t, -0.0713, o.Slope.V, 0.00005)
	assert.InDelta(t, 0.106, o.SE.V, 0.0005)
	assert.InDelta(t, 2.365, (o.Upper.V-o.Slope.V)/o.SE.V, 0.0005)
	assert.InDelta(t, 2.365, (o.Slope.V-o.Lower.V)/o.SE.V, 0.0005)
	assert.Equal(t, 8, o.Groups)
}

// Of a mean the jackknife is known to give exactly s / root n, and a line through
// x = 1 is a mean.
func TestTheJackknifeOfAMean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.SliceOfN(rapid.Float64Range(-10, 10), 3, 12).Draw(t, "y")
		x := make([]float64, len(y))
		for i := range x {
			x[i] = 1
		}
		o := ThroughOrigin(alone(x, y))
		mean, s := stat.MeanStdDev(y, nil)
		assert.InDelta(t, mean, o.Slope.V, 1e-9)
		assert.InDelta(t, s/math.Sqrt(float64(len(y))), o.SE.V, 1e-6)
	})
}

// Worked by hand: of two groups of the same pairs in another order the slope is the
// same, and the spread is the root of the mean of the sums of squares.
func TestGroups(t *testing.T) {
	o := ThroughOrigin([][]Pair{{{3, 3}, {4, 4}}, nil, {{0, 1}, {5, 5}}, {{-5, -5}}})
	assert.Equal(t, 3, o.Groups, "a group without pairs is none")
	assert.InDelta(t, 5, o.Spread.V, 1e-12)
	assert.InDelta(t, 1, o.Slope.V, 1e-12)
	assert.InDelta(t, 0, o.SE.V, 1e-12)
	same := ThroughOrigin([][]Pair{{{1, 1}, {1, 1}, {1, 1}}, {{1, 0}, {1, 0}, {1, 0}}, {{1, 2}, {1, 2}, {1, 2}}})
	assert.InDelta(t, 1/math.Sqrt(3), same.SE.V, 1e-12, "what hangs together within a group makes nothing more certain")
}

func TestNoLineThroughTheOrigin(t *testing.T) {
	two := ThroughOrigin([][]Pair{{{1, 1}}, {{2, 2}}, {}})
	assert.Equal(t, "cohort.few-groups", two.Slope.Why.ID)
	assert.Equal(t, 2, two.Groups)
	assert.False(t, two.Spread.OK || two.SE.OK || two.Lower.OK || two.Upper.OK)
	assert.True(t, ThroughOrigin([][]Pair{{{1, 1}}, {{2, 2}}, {{3, 3}}}).Slope.OK)

	one := ThroughOrigin([][]Pair{{{1, 1}}, {{0, 2}}, {{0, 3}}})
	assert.Equal(t, "cohort.one-group-varies", one.Slope.Why.ID)
	assert.True(t, one.Spread.OK)
	assert.True(t, ThroughOrigin([][]Pair{{{1, 1}}, {{1, 2}}, {{0, 3}}}).Slope.OK)
}
