package room

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/sitting"
)

// The patients of a practical remember half a gigabyte together, however many they are,
// as long as each has enough for a question.
func TestPatientsShareTheMemory(t *testing.T) {
	for _, patients := range []int{1, 2, 10, 37} {
		assert.LessOrEqual(t, patients*remembered(patients)*sitting.ViewBytes, 512<<20)
		assert.Greater(t, (patients*(remembered(patients)+1))*sitting.ViewBytes, (512<<20)-sitting.ViewBytes)
	}
	assert.Equal(t, 8, remembered(37))
	assert.Equal(t, 8, remembered(50))
}
