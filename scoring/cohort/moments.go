package cohort

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// largest number, of either sign, that is taken for points, ratings and
// measurements. It is far beyond any, and its squares can still be added up.
const largest = 1e9

func usable(x float64) bool { return math.Abs(x) <= largest }

// flat says that numbers do not differ by more than sums of floats can err by:
// sums of the same points in another order would otherwise seem to vary.
// Nobody gives a billionth of a point.
func flat(xs []float64) bool {
	lo, hi := slices.Min(xs), slices.Max(xs)
	return hi-lo <= 1e-9*max(1, math.Abs(lo)/1e3, math.Abs(hi)/1e3)
}

// correlation is Pearson's, of two sets that are not flat. Rounding is kept
// from taking it beyond 1.
func correlation(xs, ys []float64) float64 {
	return math.Max(-1, math.Min(1, stat.Correlation(xs, ys, nil)))
}
