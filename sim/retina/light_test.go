package retina

import (
	"testing"

	"conoid/sim/chart"
	"conoid/sim/eye"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func requireNormal(t *testing.T, l Light) {
	t.Helper()
	require.Len(t, l.Weight, len(l.Nm))
	var sum float64
	for _, w := range l.Weight {
		assert.Positive(t, w)
		sum += w
	}
	require.InDelta(t, 1, sum, 1e-12)
}

func mean(l Light) (nm float64) {
	for i := range l.Nm {
		nm += l.Weight[i] * l.Nm[i]
	}
	return nm
}

// CIE 1924: V(540) 0.954, V(560) 0.995, V(600) 0.631.
func TestWhiteIsWeighedByLuminosity(t *testing.T) {
	l := White()
	requireNormal(t, l)
	assert.Equal(t, []float64{480, 500, 520, 540, 560, 580, 600, 620, 640}, l.Nm)
	assert.InDelta(t, 0.954/0.995, l.Weight[3]/l.Weight[4], 1e-12)
	assert.InDelta(t, 0.631/0.995, l.Weight[6]/l.Weight[4], 1e-12)
}

// Published peaks 535 and 620 nm (from memory: Bennett and Rabbetts), which lie
// about 0.4 D apart in the chromatic eye of Thibos and others (1992), on either
// side of the wavelength that a refraction is meant for.
func TestDuochromeFilters(t *testing.T) {
	green, red := Filter(chart.Green), Filter(chart.Red)
	requireNormal(t, green)
	requireNormal(t, red)
	assert.InDelta(t, 535, mean(green), 4)
	assert.InDelta(t, 620, mean(red), 4)
	focus := func(l Light) (d float64) {
		for i, nm := range l.Nm {
			d += l.Weight[i] * eye.ChromaticFocus(nm)
		}
		return d
	}
	assert.InDelta(t, 0.40, focus(green)-focus(red), 0.03)
	assert.Positive(t, focus(green), "an eye is too strong for green")
	assert.Negative(t, focus(red))
	assert.Equal(t, White(), Filter(chart.White))
	assert.Panics(t, func() { Filter(chart.Light(9)) })
}

func TestThroughAnAgeingLens(t *testing.T) {
	old := White().Through(func(nm float64) float64 { return eye.Transmittance(nm, 75) })
	requireNormal(t, old)
	assert.Greater(t, mean(old), mean(White()), "it takes the blue")
	assert.Panics(t, func() { White().Through(func(float64) float64 { return 0 }) })
}
