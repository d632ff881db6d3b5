package wall

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Lines side by side are one arc, over the level line too; others are arcs of their own.
func TestGroupsOfLinesAreArcs(t *testing.T) {
	for _, one := range []struct {
		lines []float64
		want  [][2]float64
	}{
		{[]float64{80, 90, 100}, [][2]float64{{80, 100}}},
		{[]float64{160, 170, 0, 10}, [][2]float64{{160, 190}}},
		{[]float64{30, 120}, [][2]float64{{30, 30}, {120, 120}}},
		{nil, nil},
	} {
		assert.Equal(t, one.want, runs(one.lines, 10))
	}
}

// Of half a dial only the upper half is there.
func TestAnglesOnHalfADial(t *testing.T) {
	for a, want := range map[float64]float64{-10: 170, 0: 0, 90: 90, 190: 10} {
		assert.InDelta(t, want, brought(true, a), 1e-9)
		assert.Equal(t, a, brought(false, a))
	}
}
