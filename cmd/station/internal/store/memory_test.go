package store

import (
	"io/fs"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Memory does what a folder does, until the program ends.
func TestMemory(t *testing.T) {
	m := NewMemory()
	_, err := m.Read("sittings/a.jsonl")
	require.ErrorIs(t, err, fs.ErrNotExist)
	line := []byte("one\n")
	require.NoError(t, m.Append("sittings/a.jsonl", line))
	line[0] = 'x' // the caller's own again
	require.NoError(t, m.Append("sittings/a.jsonl", []byte("two\n")))
	data, err := m.Read("sittings/a.jsonl")
	require.NoError(t, err)
	assert.Equal(t, "one\ntwo\n", string(data))
	data[0] = 'x'
	require.NoError(t, m.Truncate("sittings/a.jsonl", 4))
	data, _ = m.Read("sittings/a.jsonl")
	assert.Equal(t, "one\n", string(data))
	require.Error(t, m.Truncate("sittings/a.jsonl", 5))
	require.ErrorIs(t, m.Truncate("b", 0), fs.ErrNotExist)
	require.NoError(t, m.Replace("settings.json", []byte("{}")))
	names, err := m.List("sittings/")
	require.NoError(t, err)
	assert.Equal(t, []string{"sittings/a.jsonl"}, names)
	require.NoError(t, m.Remove("settings.json"))
	require.NoError(t, m.Remove("settings.json"))
	names, _ = m.List("")
	assert.Len(t, names, 1)
	require.Error(t, m.Append("../a", nil))
}
