package guide

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Answers without noise lead to the middle of where no difference is made.
func TestBracketFindsTheMiddle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		truth := rapid.IntRange(-40, 40).Draw(t, "truth")
		alike := rapid.IntRange(0, 12).Draw(t, "alike") // to either side
		fine := rapid.SampledFrom([]int{5, 10}).Draw(t, "fine")
		var b bracket
		v, found := 0, false
		for !found {
			switch {
			case v < truth-alike:
				b.add(v, tooLow)
			case v > truth+alike:
				b.add(v, tooHigh)
			default:
				b.add(v, even)
			}
			require.LessOrEqual(t, len(b.tries), patience)
			v, found = b.next(10, fine)
		}
		require.InDelta(t, truth, v, float64(fine))
	})
}

// Of two neighbours of which one is too weak and one too strong, the weaker is
// kept: common practice.
func TestBracketKeepsTheWeaker(t *testing.T) {
	var b bracket
	b.add(3, tooLow)
	v, found := b.next(1, 1)
	assert.Equal(t, 4, v)
	assert.False(t, found)
	b.add(4, tooHigh)
	v, found = b.next(1, 1)
	assert.Equal(t, 3, v)
	assert.True(t, found)
}

func TestBracketBelievesTheLaterAnswer(t *testing.T) {
	var b bracket
	b.add(10, tooHigh)
	b.add(20, tooLow) // so that 10 cannot be too high
	v, found := b.next(10, 5)
	assert.Equal(t, 30, v)
	assert.False(t, found)

	b = bracket{}
	b.add(10, even)
	b.add(10, tooLow)
	low, _, alike := b.limits()
	assert.Equal(t, 10, low)
	assert.Empty(t, alike)
}

func TestBracketLosesPatience(t *testing.T) {
	var b bracket
	for range patience / 2 {
		b.add(0, tooLow)
		b.add(40, tooHigh)
	}
	v, found := b.next(10, 5)
	assert.True(t, found)
	assert.Equal(t, 20, v)
}
