package web

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// Those who did nothing for so long that their allowance is whole again are forgotten, and
// nobody else: what is counted does not grow without an end.
func TestWhoIsForgotten(t *testing.T) {
	c := newCounts(allowance{rate: 1, burst: 2})
	now := time.Date(2031, 4, 4, 9, 0, 0, 0, time.UTC)
	for i := range mostCounted - 2 {
		assert.True(t, c.takes(fmt.Sprint(i), now))
	}
	now = now.Add(time.Minute)
	for range 2 {
		assert.True(t, c.takes("busy", now))
	}
	assert.Len(t, c.of, mostCounted-1)
	assert.True(t, c.takes("one more", now))
	assert.Len(t, c.of, 2)
	assert.False(t, c.takes("busy", now))
}
