package history

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A sitting that was begun within another, or only a part of one, says nothing of
// what its student can do alone: no progress is made of it.
func TestOnlyWholeSittingsAreProgress(t *testing.T) {
	whole := Reached{ID: "a", Level: 2, Left: 0.25, Steps: 30}
	within, drill := whole, whole
	within.Branch, drill.Drill = true, "fan"
	for _, part := range []Reached{within, drill} {
		part.Left = 0
		b := Book{list: []Reached{part}}
		_, ok := b.Best("a")
		assert.False(t, ok)
		assert.Empty(t, Kinds(b.list))
		assert.Equal(t, 1, LevelFor(b.list))
		b.list = append(b.list, whole)
		best, ok := b.Best("a")
		assert.True(t, ok)
		assert.Equal(t, whole, best)
		assert.Len(t, Kinds(b.list), 1)
		assert.Equal(t, 3, LevelFor(b.list))
	}
}
