package retina

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// A rule of n places is exact for polynomials up to order 2n-1, and the tables
// of Abramowitz and Stegun (25.4) begin so.
func TestGaussRules(t *testing.T) {
	require.InDelta(t, 0.577350269189626, gauss(2).x[0], 1e-15)
	require.InDelta(t, 0.861136311594053, gauss(4).x[0], 1e-15)
	require.InDelta(t, 0.347854845137454, gauss(4).w[0], 1e-15)
	for n := 1; n <= 300; n++ {
		g := gauss(n)
		for _, order := range []int{0, n / 2 * 2, 2*n - 2} {
			var sum float64
			for i, x := range g.x {
				sum += g.w[i] * math.Pow(x, float64(order))
			}
			require.InDelta(t, 2/float64(order+1), sum, 1e-12, "%d places, order %d", n, order)
		}
	}
}
