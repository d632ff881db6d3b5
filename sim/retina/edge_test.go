package retina

import (
	"math"
	"testing"

	"conoid/sim/eye"

	"github.com/stretchr/testify/assert"
)

// The cells that the edge of the pupil cuts pass their share of the light: all
// of it together is the area of the disc, π r², and cells that are all in or all
// out miss that by far more.
func TestTheEdgeOfThePupilIsSoft(t *testing.T) {
	const pitch, size = 0.5, 128
	whole, worst := 0.0, 0.0
	for d := 3.0; d < 4; d += 0.0625 {
		var w wave
		w.prepare(view{radius: d / 2}, nil, size, eye.ReferenceNm, pitch)
		area, cut, amplitude := 0.0, 0.0, 0.0
		for j := range w.n {
			re, im := make([]float32, w.n), make([]float32, w.n)
			light, lost := w.fill(re, im, j)
			area += light * w.h * w.h
			for i := range re {
				amplitude += float64(re[i]*re[i]+im[i]*im[i]) * w.h * w.h
				if math.Hypot(w.xs[i], w.xs[j]) < d/2 {
					cut += w.h * w.h
				}
			}
			amplitude += lost * w.h * w.h
		}
		disc := math.Pi * d * d / 4
		assert.InEpsilon(t, disc, area, 1e-4, "%v mm", d)
		assert.InEpsilon(t, area, amplitude, 1e-5, "what the softened edge loses is told: %v mm", d)
		whole, worst = max(whole, math.Abs(cut/disc-1)), max(worst, math.Abs(area/disc-1))
	}
	t.Logf("off by %.2g at most, and by %.2g with cells all in or all out", worst, whole)
	assert.Greater(t, whole, 10*worst)
}
