package render

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestLevelsAreTheCurve(t *testing.T) {
	for i := range levels {
		if levels[i] != signal(i) {
			assert.Equal(t, signal(i), levels[i], "%d", i)
		}
	}
}
