package cohort

import (
	"math"
	"slices"
)

func sum(xs []float64) float64 {
	var s float64
	for _, x := range xs {
		s += x
	}
	return s
}

// mean of at least one number.
func mean(xs []float64) float64 { return sum(xs) / float64(len(xs)) }

// covariance is the sum of products about the means, divided by n - 1, of at
// least two pairs.
func covariance(xs, ys []float64) float64 {
	mx, my := mean(xs), mean(ys)
	var s float64
	for i := range xs {
		s += (xs[i] - mx) * (ys[i] - my)
	}
	return s / float64(len(xs)-1)
}

func variance(xs []float64) float64 { return covariance(xs, xs) }

func sd(xs []float64) float64 { return math.Sqrt(variance(xs)) }

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
	r := covariance(xs, ys) / (sd(xs) * sd(ys))
	return math.Max(-1, math.Min(1, r))
}
