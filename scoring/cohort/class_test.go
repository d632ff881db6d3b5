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

func row(points ...float64) []Value {
	out := make([]Value, len(points))
	for i, p := range points {
		out[i] = Number(p)
	}
	return out
}

// five candidates with made-up points for four items of 5 points.
func five() Results {
	return Results{
		Candidates: []string{"101", "102", "103", "104", "105"},
		Items:      []Item{{"fog", 5}, {"axis", 5}, {"cylinder", 5}, {"sphere", 5}},
		Points: [][]Value{
			row(2, 3, 3, 4),
			row(1, 2, 2, 2),
			row(4, 4, 5, 5),
			row(3, 3, 4, 4),
			row(5, 4, 5, 4),
		},
	}
}

// Worked in fractions: the variances of the items add up to 61/10, that of the
// totals 12 7 18 14 18 is 106/5, so that alpha = 4/3 (1 - 61/212) = 151/159
// (formula: Cronbach 1951; Bland and Altman, BMJ 1997;314:572).
func TestDescribe(t *testing.T) {
	c, err := Describe(five())
	require.NoError(t, err)
	assert.Equal(t, 5, c.Candidates)
	assert.Equal(t, 5, c.Complete)
	assert.Empty(t, c.LeftOut)
	assert.Equal(t, 20.0, c.Most)
	assert.InDelta(t, 13.8, c.Mean.V, 1e-12)
	assert.InDelta(t, math.Sqrt(106.0/5), c.SD.V, 1e-12)
	assert.Equal(t, Number(7), c.Min)
	assert.Equal(t, Number(18), c.Max)
	assert.InDelta(t, 151.0/159, c.Alpha.V, 1e-12)
	assert.InDelta(t, 1.0327955590, c.SEM.V, 1e-9)
	assert.InDelta(t, 1.96*1.0327955590, c.Band95.V, 1e-9)
	for i, difficulty := range []float64{15.0 / 25, 16.0 / 25, 19.0 / 25, 19.0 / 25} {
		assert.InDelta(t, difficulty, c.Items[i].Difficulty.V, 1e-12)
		assert.Equal(t, 5, c.Items[i].Taken)
	}
}

// The printed example of Bland and Altman, BMJ 1997;314:572 (figures from
// memory): ten items whose variances add up to 11.16, totals with 77.44, alpha
// 0.95. The points are made up so that they have these variances: every item
// is a part that all share and a part of its own, orthogonal to all others.
func TestAlphaOfThePrintedExample(t *testing.T) {
	within, total := 11.16/10, 77.44
	shared := (total - 11.16) / 90 // covariance of two items
	own := within - shared
	u := []float64{1, 1, 1, 1, 1, 1, 1, 1, -1, -1, -1, -1, -1, -1, -1, -1}
	items := make([][]float64, 10)
	for i := range items {
		items[i] = make([]float64, 16)
		e := walsh(i+1, 16)
		for c := range items[i] {
			items[i][c] = 5 + math.Sqrt(15.0/16)*(math.Sqrt(shared)*u[c]+math.Sqrt(own)*e[c])
		}
	}
	assert.InDelta(t, 0.950987, Alpha(items).V, 1e-6)
	assert.InDelta(t, 0.95, Alpha(items).V, 0.005)
}

// walsh is a row of ±1 that adds up to 0 and is orthogonal to the others and,
// for rows 1 to 7 and 9 to 11, to the halves used above (row 8).
func walsh(i, n int) []float64 {
	if i >= 8 {
		i++
	}
	out := make([]float64, n)
	for c := range out {
		out[c] = 1
		for b := i & c; b > 0; b &= b - 1 {
			out[c] = -out[c]
		}
	}
	return out
}

// For items that are right or wrong alpha is formula 20 of Kuder and
// Richardson (1937), Psychometrika 2:151-160:
// k/(k-1) (1 - sum p(1-p) / variance of totals, divisor n).
func TestAlphaIsKR20(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, k := rapid.IntRange(3, 20).Draw(t, "n"), rapid.IntRange(2, 8).Draw(t, "k")
		items, totals, pq := make([][]float64, k), make([]float64, n), 0.0
		for i := range items {
			right := 0.0
			for c := range n {
				x := float64(rapid.IntRange(0, 1).Draw(t, "right"))
				items[i] = append(items[i], x)
				totals[c] += x
				right += x
			}
			p := right / float64(n)
			pq += p * (1 - p)
		}
		v := stat.PopVariance(totals, nil)
		if v == 0 {
			require.False(t, Alpha(items).OK)
			return
		}
		kk := float64(k)
		require.InDelta(t, kk/(kk-1)*(1-pq/v), Alpha(items).V, 1e-9)
	})
}

func anyResults(t *rapid.T) Results {
	n, k := rapid.IntRange(0, 12).Draw(t, "candidates"), rapid.IntRange(0, 6).Draw(t, "items")
	r := Results{Candidates: make([]string, n), Points: make([][]Value, n)}
	for i := range k {
		r.Items = append(r.Items, Item{string(rune('a' + i)), float64(rapid.IntRange(1, 20).Draw(t, "most"))})
	}
	for c := range n {
		r.Candidates[c] = string(rune('A' + c))
		for i := range k {
			p := Number(float64(rapid.IntRange(0, int(r.Items[i].Most)*4).Draw(t, "quarters")) / 4)
			if rapid.IntRange(0, 15).Draw(t, "missing") == 0 {
				p = None(fact.New("test.absent"))
			}
			r.Points[c] = append(r.Points[c], p)
		}
	}
	return r
}

func same(t require.TestingT, want, got Value) {
	require.Equal(t, want.OK, got.OK)
	require.Equal(t, want.Why, got.Why)
	require.InDelta(t, want.V, got.V, 1e-9*max(1, math.Abs(want.V)))
}

// Everything beside gonum/stat, a general-purpose library.
func TestDescribeBesideGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyResults(t)
		c, err := Describe(r)
		require.NoError(t, err)
		totals, _ := r.Totals()
		var points []float64
		for _, total := range totals {
			points = append(points, total.Points)
		}
		if len(points) >= 2 {
			m, s := stat.MeanStdDev(points, nil)
			require.InDelta(t, m, c.Mean.V, 1e-9)
			require.InDelta(t, s, c.SD.V, 1e-9)
		}
		columns := r.columns()
		if c.Alpha.OK { // k c / (v + (k-1) c), by means of covariances
			var v, cov, pairs float64
			k := float64(len(columns))
			for i := range columns {
				v += stat.Variance(columns[i], nil) / k
				for j := range i {
					cov += stat.Covariance(columns[i], columns[j], nil)
					pairs++
				}
			}
			cov /= pairs
			require.InDelta(t, k*cov/(v+(k-1)*cov), c.Alpha.V, 1e-6)
			require.LessOrEqual(t, c.Alpha.V, 1+1e-12)
		}
		for i, item := range c.Items {
			if item.Discrimination.OK {
				rest := make([]float64, len(points))
				for j := range rest {
					rest[j] = points[j] - columns[i][j]
				}
				require.InDelta(t, stat.Correlation(columns[i], rest, nil), item.Discrimination.V, 1e-9)
			}
		}
	})
}

func TestOrderOfCandidatesDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyResults(t)
		want, err := Describe(r)
		require.NoError(t, err)
		mixed := Results{Items: r.Items}
		for _, c := range rapid.Permutation(index(len(r.Candidates))).Draw(t, "order") {
			mixed.Candidates = append(mixed.Candidates, r.Candidates[c])
			mixed.Points = append(mixed.Points, r.Points[c])
		}
		got, err := Describe(mixed)
		require.NoError(t, err)
		sameClass(t, want, got, 1)
	})
}

// Points in halves or in thousandths: alpha, difficulty and discrimination stay.
func TestScaleDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyResults(t)
		by := rapid.SampledFrom([]float64{0.1, 0.5, 3, 1000}).Draw(t, "by")
		want, err := Describe(r)
		require.NoError(t, err)
		scaled := Results{Candidates: r.Candidates, Points: make([][]Value, len(r.Points))}
		for _, item := range r.Items {
			scaled.Items = append(scaled.Items, Item{item.Name, by * item.Most})
		}
		for c := range r.Points {
			for _, p := range r.Points[c] {
				p.V *= by
				scaled.Points[c] = append(scaled.Points[c], p)
			}
		}
		got, err := Describe(scaled)
		require.NoError(t, err)
		sameClass(t, want, got, by)
	})
}

func sameClass(t require.TestingT, want, got *Class, by float64) {
	points := func(v Value) Value { v.V *= by; return v }
	same(t, points(want.Mean), got.Mean)
	same(t, points(want.SD), got.SD)
	same(t, points(want.Min), got.Min)
	same(t, points(want.Max), got.Max)
	same(t, want.Alpha, got.Alpha)
	require.Equal(t, want.SEM.OK, got.SEM.OK)
	// A root near 0 makes much of the last bits of alpha.
	require.InDelta(t, by*want.SEM.V, got.SEM.V, 1e-5*max(1, by))
	require.ElementsMatch(t, want.LeftOut, got.LeftOut)
	for i := range want.Items {
		same(t, want.Items[i].Difficulty, got.Items[i].Difficulty)
		same(t, want.Items[i].Discrimination, got.Items[i].Discrimination)
	}
}

func index(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// Items that are copies of each other measure without error.
func TestCopiesAreReliable(t *testing.T) {
	item := []float64{1, 4, 2, 2, 5}
	assert.InDelta(t, 1, Alpha([][]float64{item, item, item}).V, 1e-12)
	sem := SEM(Number(stat.StdDev(item, nil)), Alpha([][]float64{item, item, item}))
	assert.InDelta(t, 0, sem.V, 1e-6)
	assert.PanicsWithValue(t, "cohort: Alpha: items of different lengths", func() { Alpha([][]float64{item, item[:4]}) })
}
