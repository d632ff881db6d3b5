package cohort

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"conoid/sim/fact"
)

// Agreement says how far two sets of measurements of the same things agree.
// All figures are in the unit measured, of the first less the second.
type Agreement struct {
	N       int   `json:"n"`
	Bias    Value `json:"bias"`    // mean difference
	SD      Value `json:"sd"`      // of the differences, divisor n - 1
	Lower   Value `json:"lower"`   // limit of agreement, bias - 1.96 SD
	Upper   Value `json:"upper"`   // limit of agreement, bias + 1.96 SD
	SEBias  Value `json:"seBias"`  // standard error of the bias, SD / root n
	SELimit Value `json:"seLimit"` // standard error of either limit, about root (3/n) SD
}

// Agree finds the limits within which 95 % of the differences between two
// measurements lie, if the differences are about normal and do not grow with
// what is measured. Pairs stand at the same place in first and second.
//
// Refractions are compared in spherical equivalent or in one component of the
// power vector (J0, J45), never in axes, which go round.
//
// Source: Bland and Altman (1986), Lancet i:307-310, which multiplies by 2;
// the factor 1.96 is that of Bland and Altman (1999), Stat Methods Med Res
// 8:135-160.
func Agree(first, second []float64) (*Agreement, error) {
	if len(first) != len(second) {
		return nil, fact.Refuse("cohort.unpaired", "first", fact.Count(len(first)), "second", fact.Count(len(second)))
	}
	d := make([]float64, len(first))
	for i := range first {
		if !usable(first[i]) || !usable(second[i]) {
			return nil, fact.Refuse("cohort.pair", "n", fact.Count(i+1), "first", fact.Number(first[i]), "second", fact.Number(second[i]), "largest", fact.Number(largest))
		}
		d[i] = first[i] - second[i]
	}
	a := &Agreement{N: len(d)}
	if a.N < fewest {
		v := None(fact.New("cohort.few-pairs", "least", fact.Count(fewest), "n", fact.Count(a.N)))
		a.Bias, a.SD, a.Lower, a.Upper, a.SEBias, a.SELimit = v, v, v, v, v, v
		return a, nil
	}
	n := float64(a.N)
	bias, s := stat.MeanStdDev(d, nil)
	a.Bias, a.SD = Number(bias), Number(s)
	a.Lower, a.Upper = Number(bias-z95*s), Number(bias+z95*s)
	a.SEBias, a.SELimit = Number(s/math.Sqrt(n)), Number(s*math.Sqrt(3/n))
	return a, nil
}
