package fft

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Vectors and plain Go give the same to the last bit, so that an image does not
// depend on the machine.
func TestVectorsGiveTheSame(t *testing.T) {
	if !vectors {
		t.Skip("this processor has none")
	}
	defer func() { vectors = true }()
	for _, step := range []struct {
		name string
		do   func(p *Plan, re, im []float32)
	}{
		{"forward", (*Plan).Forward}, {"short", (*Plan).ForwardShort}, {"inverse", (*Plan).Inverse},
	} {
		for n := Min; n <= Max; n *= 2 {
			p := New(n)
			vectors = true
			re, im, _ := noise(n)
			step.do(p, re, im)
			vectors = false
			a, b, _ := noise(n)
			step.do(p, a, b)
			assert.Equal(t, a, re, "%s, length %d", step.name, n)
			assert.Equal(t, b, im, "%s, length %d", step.name, n)
		}
	}
}
