package cohort

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"

	"conoid/sim/fact"
)

func ratedPairs(x, y []float64) []Rated {
	out := make([]Rated, len(x))
	for i := range x {
		out[i] = Rated{string(rune('A' + i)), y[i], x[i]}
	}
	return out
}

// Made-up ratings and points; the line worked out in fractions: Sxx = 16.9 and
// Sxy = 184.3. The method is that of Hejri and others (2013), J Res Med Sci
// 18:887-891, who print no raw data.
func TestBorderline(t *testing.T) {
	rated := ratedPairs(
		[]float64{0, 1, 1, 1, 2, 2, 3, 3, 4, 4},
		[]float64{38, 45, 50, 52, 60, 58, 71, 69, 84, 80})
	c, err := Borderline(rated, 1, 100)
	require.NoError(t, err)
	assert.Equal(t, 10, c.N)
	assert.InDelta(t, 184.3/16.9, c.Slope.V, 1e-9)
	assert.InDelta(t, 37.7988165680, c.Intercept.V, 1e-9)
	assert.InDelta(t, 48.7041420118, c.Points.V, 1e-9)
	assert.InDelta(t, 0.9803675329, c.RSquared.V, 1e-9)
	assert.InDelta(t, 2.2430035864, c.Residual.V, 1e-9)
	assert.InDelta(t, 2.2430035864*math.Sqrt(0.1+1.1*1.1/16.9), c.SE.V, 1e-9)
	assert.False(t, c.Beyond)

	c, err = Borderline(rated, 1.5, 100)
	require.NoError(t, err)
	assert.InDelta(t, 54.1568047337, c.Points.V, 1e-9)

	// No candidate need be borderline, but then the line is prolonged.
	c, err = Borderline(rated[1:], 0.5, 100)
	require.NoError(t, err)
	assert.True(t, c.Points.OK)
	assert.True(t, c.Beyond)
}

func TestBorderlineBesideGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 30).Draw(t, "n")
		var x, y []float64
		for range n {
			x = append(x, float64(rapid.IntRange(0, 5).Draw(t, "rating")))
			y = append(y, float64(rapid.IntRange(0, 100).Draw(t, "points")))
		}
		c, err := Borderline(ratedPairs(x, y), 2, 100)
		require.NoError(t, err)
		if stat.Variance(x, nil) == 0 {
			require.Equal(t, "cohort.rated-alike", c.Points.Why.ID)
			return
		}
		a, b := stat.LinearRegression(x, y, nil, false)
		require.InDelta(t, a, c.Intercept.V, 1e-8)
		require.InDelta(t, b, c.Slope.V, 1e-8)
		if stat.Variance(y, nil) > 0 {
			require.InDelta(t, stat.RSquared(x, y, nil, a, b), c.RSquared.V, 1e-8)
		}
		require.Equal(t, c.Points.OK, c.SE.OK)
		if c.Points.OK {
			require.InDelta(t, a+2*b, c.Points.V, 1e-8)
		}
		mixed := rapid.Permutation(ratedPairs(x, y)).Draw(t, "order")
		again, err := Borderline(mixed, 2, 100)
		require.NoError(t, err)
		same(t, c.Slope, again.Slope)
		require.InDelta(t, c.SE.V, again.SE.V, 1e-6)
	})
}

// The standard error of the cut, beside how much the cut really varies when
// the same examination is held many times with fresh chance.
func TestStandardErrorOfTheCut(t *testing.T) {
	x := []float64{0, 1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5}
	seed := uint64(1)
	chance := func() float64 { // about normal, deviation 1: twelve even numbers less 6
		s := -6.0
		for range 12 {
			seed = seed*6364136223846793005 + 1442695040888963407
			s += float64(seed>>11) / (1 << 53)
		}
		return s
	}
	const runs = 4000
	var cuts []float64
	var squares float64
	for range runs {
		y := make([]float64, len(x))
		for i := range x {
			y[i] = 30 + 10*x[i] + 3*chance()
		}
		c, err := Borderline(ratedPairs(x, y), 1, 100)
		require.NoError(t, err)
		cuts = append(cuts, c.Points.V)
		squares += c.SE.V * c.SE.V
	}
	assert.InDelta(t, 40, stat.Mean(cuts, nil), 0.1)
	assert.InEpsilon(t, math.Sqrt(squares/runs), stat.StdDev(cuts, nil), 0.05)
}

func TestNoCut(t *testing.T) {
	for _, c := range []struct {
		why  string // with its values
		x, y []float64
	}{
		{"cohort.few-rated (least 3, n 2)", []float64{1, 2}, []float64{40, 60}},
		{"cohort.few-rated (least 3, n 0)", nil, nil},
		{"cohort.rated-alike", []float64{2, 2, 2}, []float64{40, 50, 60}},
		{"cohort.points-do-not-rise", []float64{1, 2, 3}, []float64{60, 50, 40}},
		{"cohort.points-do-not-rise", []float64{1, 2, 3}, []float64{50, 50, 50}},
		{"cohort.points-do-not-rise", []float64{.1, .2, .3, .7, .8, .9}, []float64{10, 30, 10, 10, 30, 10}}, // level but for the last bits
		{"cohort.line-beyond (at -40, most 100)", []float64{3, 4, 5}, []float64{0, 20, 40}},
	} {
		cut, err := Borderline(ratedPairs(c.x, c.y), 1, 100)
		require.NoError(t, err)
		assert.Equal(t, c.why, cut.Points.Why.String())
		assert.Equal(t, c.why, cut.SE.Why.String())
	}
	for says, bad := range map[string]func() (*Cut, error){
		"cohort.borderline (rating NaN)":                          func() (*Cut, error) { return Borderline(nil, math.NaN(), 100) },
		"cohort.most (largest 1e+09, most 0)":                     func() (*Cut, error) { return Borderline(nil, 1, 0) },
		"cohort.rating (candidate A, rating +Inf)":                func() (*Cut, error) { return Borderline([]Rated{{"A", 1, math.Inf(1)}}, 1, 100) },
		"cohort.rated-points (candidate A, most 100, points 101)": func() (*Cut, error) { return Borderline([]Rated{{"A", 101, 1}}, 1, 100) },
	} {
		_, err := bad()
		assert.ErrorContains(t, err, says)
	}
}

func TestToReview(t *testing.T) {
	totals := []Total{{"101", 12}, {"102", 7}, {"103", 11}, {"104", 14}, {"105", 10}}
	near, err := ToReview(totals, Number(11), Number(1))
	require.NoError(t, err)
	assert.Equal(t, []Total{{"101", 12}, {"103", 11}, {"105", 10}}, near)
	_, err = ToReview(totals, None(fact.New("cohort.rated-alike")), Number(1))
	assert.ErrorContains(t, err, "cohort.no-review-cut (why cohort.rated-alike)")
	_, err = ToReview(totals, Number(11), None(fact.New("cohort.no-alpha")))
	assert.ErrorContains(t, err, "cohort.no-review-sem (why cohort.no-alpha)")
}
