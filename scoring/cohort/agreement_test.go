package cohort

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"
)

// Peak expiratory flow in l/min of 17 people by two meters, first readings:
// the data printed in Bland and Altman (1986), Lancet i:307-310.
var (
	largeMeter = []float64{494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427}
	miniMeter  = []float64{512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451}
)

func TestAgree(t *testing.T) {
	a, err := Agree(largeMeter, miniMeter)
	require.NoError(t, err)
	assert.Equal(t, 17, a.N)
	// As printed (from memory): mean difference −2.1, SD 38.8, standard errors
	// 9.4 and 16.3. The limits there are 2 SD away, of rounded figures.
	assert.InDelta(t, -2.1, a.Bias.V, 0.05)
	assert.InDelta(t, 38.8, a.SD.V, 0.05)
	assert.InDelta(t, 9.4, a.SEBias.V, 0.05)
	assert.InDelta(t, 16.3, a.SELimit.V, 0.05)
	assert.InDelta(t, -79.7, a.Bias.V-2*a.SD.V, 0.2)
	assert.InDelta(t, 75.5, a.Bias.V+2*a.SD.V, 0.2)
	// The same data worked out to more places, with 1.96 SD.
	assert.InDelta(t, -36.0/17, a.Bias.V, 1e-9)
	assert.InDelta(t, 38.7651298736, a.SD.V, 1e-9)
	assert.InDelta(t, -78.0973016, a.Lower.V, 1e-6)
	assert.InDelta(t, 73.8620074, a.Upper.V, 1e-6)
	assert.InDelta(t, 9.4019250, a.SEBias.V, 1e-6)
	assert.InDelta(t, 16.2846118, a.SELimit.V, 1e-6)
	// Their correlation, 0.94, is printed to show that it does not tell this.
	assert.InDelta(t, 0.9432794, correlation(largeMeter, miniMeter), 1e-6)
}

func TestAgreeProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pairs := rapid.SliceOfN(rapid.Float64Range(-20, 20), 6, 40).Draw(t, "both")
		n := len(pairs) / 2
		a, b := pairs[:n], pairs[n:2*n]
		got, err := Agree(a, b)
		require.NoError(t, err)
		back, err := Agree(b, a)
		require.NoError(t, err)
		require.InDelta(t, got.Lower.V, -back.Upper.V, 1e-9) // the other way round
		require.InDelta(t, got.Upper.V, -back.Lower.V, 1e-9)

		d := make([]float64, n)
		for i := range d {
			d[i] = a[i] - b[i]
		}
		m, s := stat.MeanStdDev(d, nil)
		require.InDelta(t, m, got.Bias.V, 1e-9)
		require.InDelta(t, s, got.SD.V, 1e-9)

		itself, err := Agree(a, a)
		require.NoError(t, err)
		require.Zero(t, itself.Lower.V)
		require.Zero(t, itself.Upper.V)
	})
}

func TestAgreeRefuses(t *testing.T) {
	_, err := Agree([]float64{1, 2, 3}, []float64{1, 2})
	assert.ErrorContains(t, err, "cohort.unpaired (first 3, second 2)")
	_, err = Agree([]float64{1, 2, math.NaN()}, []float64{1, 2, 3})
	assert.ErrorContains(t, err, "cohort.pair (first NaN, largest 1e+09, n 3, second 3)")
	a, err := Agree([]float64{1, 2}, []float64{1, 2})
	require.NoError(t, err)
	assert.Equal(t, "cohort.few-pairs", a.Upper.Why.ID)
}
