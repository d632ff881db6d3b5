package evidence

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/method"
)

// An answer is right in 73 of 100 at one spread, 1/(1+1/e), but for the four in a
// hundred that are given without looking, of which half are right by chance: 0.02 +
// 0.96 x 0.731 is 0.722.
func TestLikelihood(t *testing.T) {
	for _, c := range []struct {
		way   method.Way
		above float64
		want  float64
	}{
		{method.More, 50, 0.98},
		{method.More, 1, 0.7218},
		{method.More, 0, 0.5},
		{method.More, -1, 0.2782},
		{method.More, -50, 0.02},
		{method.Less, -50, 0.98},
		{method.Less, 1, 0.2782},
		{method.Stay, 0, 0.25},
		{method.Stay, 50, 0.0196}, // 0.98 x 0.02
		{method.Stay, -50, 0.0196},
	} {
		assert.InDelta(t, c.want, math.Exp(likelihood(c.way, c.above)), 1e-4, "%v at %v", c.way, c.above)
	}
}
