package practical

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A checkpoint reads as it was written, for its practical alone, and whole alone.
func TestCheckpoint(t *testing.T) {
	p, other := friday(t, nil), friday(t, nil)
	c := Checkpoint{At: morning, N: 7, Sum: strings.Repeat("0f", 32)}
	file, err := p.Checkpoint(assessor, c)
	require.NoError(t, err)
	got, err := p.ReadCheckpoint("x", file)
	require.NoError(t, err)
	assert.Equal(t, []any{p.ID, 7, c.Sum}, []any{got.Practical, got.N, got.Sum})
	assert.Equal(t, p.ID, CheckpointOf(file))
	_, err = other.ReadCheckpoint("x", file)
	assert.Error(t, err, "of another practical")
	for i := range file {
		changed := bytes.Clone(file)
		changed[i] ^= 1
		_, err := p.ReadCheckpoint("x", changed)
		assert.Error(t, err, i)
		_, err = p.ReadCheckpoint("x", file[:i])
		assert.Error(t, err, i)
	}
	again, err := p.chained("x", "checkpoint of", file).line(assessor, got)
	require.NoError(t, err)
	_, err = p.ReadCheckpoint("x", append(bytes.Clone(file), again...))
	assert.Error(t, err, "two, in a chain that holds")
	for _, wrong := range []Checkpoint{{N: 0, Sum: c.Sum}, {N: 1, Sum: c.Sum[2:]}, {N: 1, Sum: "x" + c.Sum[1:]}} {
		_, err := p.Checkpoint(assessor, wrong)
		assert.ErrorContains(t, err, "practical.line.changed")
	}
	stranger, err := NewKeys()
	require.NoError(t, err)
	_, err = p.Checkpoint(stranger, c)
	assert.Error(t, err)
	assert.Empty(t, CheckpointOf([]byte("PK")))
}
