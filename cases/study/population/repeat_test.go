package population

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/sim/expert"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Repeat says the same as one works out by hand from single sittings.
func TestRepeat(t *testing.T) {
	c, err := cases.Find("ferry-clerk")
	require.NoError(t, err)
	s := sitting.Start(c.Setup(), sitting.Seeded(9))
	var told []int
	got, err := Repeat(t.Context(), s, nil, 4, func(done int) { told = append(told, done) })
	require.NoError(t, err)
	assert.Equal(t, []int{1, 2, 3, 4}, told)
	assert.Empty(t, s.Events(), "the sitting stays as it is")

	truth := c.Of(c.Tested).Error
	var mean optics.Power
	var m, cyl [4]float64
	for seed := range m {
		one := sitting.Start(c.Setup(), sitting.Seeded(uint64(seed)))
		found, err := expert.Examine(one, expert.BriefOf(c.Setup()))
		require.NoError(t, err)
		mean = mean.Add(found.Rx.Power().Scale(0.25))
		m[seed] = found.Rx.SE() - truth.SE()
		cyl[seed] = 2 * found.Rx.Power().Sub(truth.Power()).Astigmatism()
	}
	assert.InDelta(t, (m[0]+m[1]+m[2]+m[3])/4, got.Off.M, 1e-9)
	assert.InDelta(t, mean.Rx().Sphere, got.Mean.Sphere, 1e-9)
	var squares float64
	for _, x := range m {
		squares += (x - got.Off.M) * (x - got.Off.M)
	}
	assert.InDelta(t, 1.96*math.Sqrt(squares/3), got.LimitM, 1e-9)
	assert.Equal(t, max(cyl[0], cyl[1], cyl[2], cyl[3]), got.LimitCyl, "of four, all")
	assert.Less(t, math.Abs(got.Off.M), 0.375, "the easiest case is no riddle")
}
