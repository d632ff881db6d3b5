// Package study holds what studies of cases share.
package study

import "slices"

// Median is the middle of some numbers, and of an even count the mean of the
// middle two; 0 of none. (No quantile of gonum does so: of 1, 2 and 5 its
// interpolating one gives 1.5.)
func Median(v []float64) float64 {
	v = slices.Sorted(slices.Values(v))
	if len(v) == 0 {
		return 0
	}
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}
