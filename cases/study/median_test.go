package study

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestMedian(t *testing.T) {
	v := []float64{5, 1, 2}
	assert.Equal(t, 2.0, Median(v))
	assert.Equal(t, []float64{5, 1, 2}, v, "the order stays")
	assert.Equal(t, 3.5, Median([]float64{9, 5, 1, 2}))
	assert.Equal(t, 7.0, Median([]float64{7}))
	assert.Zero(t, Median(nil))
}
