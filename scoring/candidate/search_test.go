package candidate

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/method"
)

// bands is a search for something that is alike from one place to another.
func bands(from, to int, looked *[]int) search {
	return search{
		look: func(at int) method.Way {
			*looked = append(*looked, at)
			switch {
			case at < from:
				return tooLow
			case at > to:
				return tooHigh
			}
			return even
		},
		step: 4, fine: 1, least: 0, most: 40, widest: 10,
	}
}

func TestASearchClosesIn(t *testing.T) {
	for _, c := range []struct {
		name           string
		from, to, look int
		middle         float64
		alike, changed bool
	}{
		{"up", 17, 17, 5, 17, true, true},
		{"down", 6, 6, 30, 6, true, true},
		{"between two places", 12, 11, 3, 11.5, false, true},
		{"from within", 10, 14, 12, 12, true, true},
		{"to where it is wide", 20, 26, 2, 23, true, true},
		{"without an end", 0, 40, 20, 20, true, false},
		{"with one end", 18, 40, 20, 23.5, true, true}, // one side seen, and ten places to the other
	} {
		t.Run(c.name, func(t *testing.T) {
			var looked []int
			f := bands(c.from, c.to, &looked).from(c.look)
			assert.Equal(t, c.alike, f.alike)
			assert.Equal(t, c.changed, f.changed)
			assert.Equal(t, c.middle, f.middle())
			assert.Equal(t, c.look, looked[0])
		})
	}
}

// What lies beyond the least or the most is not looked at.
func TestASearchEndsAtItsLimits(t *testing.T) {
	var looked []int
	f := bands(60, 60, &looked).from(33)
	assert.Equal(t, []int{33, 37}, looked)
	assert.False(t, f.changed)
	assert.Equal(t, 37, f.low)
}
