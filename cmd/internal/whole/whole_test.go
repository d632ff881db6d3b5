package whole

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func says(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

func content(t *testing.T, path string) string {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(data)
}

func TestWrite(t *testing.T) {
	path := filepath.Join(t.TempDir(), "quay.txt")
	require.NoError(t, Write(path, 0o600, false, says("one")))
	assert.Equal(t, "one", content(t, path))
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, fs.FileMode(0o600), info.Mode().Perm())

	assert.ErrorIs(t, Write(path, 0o644, false, says("two")), fs.ErrExist)
	assert.Equal(t, "one", content(t, path))
	require.NoError(t, Write(path, 0o644, true, says("three")))
	assert.Equal(t, "three", content(t, path))
}

func TestAFailureLeavesAllAsItWas(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "quay.txt")
	require.NoError(t, Write(path, 0o644, false, says("before")))
	half := errors.New("half way")
	assert.ErrorIs(t, Write(path, 0o644, true, func(w io.Writer) error {
		io.WriteString(w, "aft")
		return half
	}), half)
	assert.Equal(t, "before", content(t, path))
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, left, 1, "no temporary file stays")
}

func TestNoErrorNamesTheTemporaryFile(t *testing.T) {
	dir := t.TempDir()
	err := Write(filepath.Join(dir, "nowhere", "quay.txt"), 0o644, false, says(""))
	assert.ErrorIs(t, err, fs.ErrNotExist)
	assert.NotContains(t, err.Error(), dir)
	assert.ErrorContains(t, Write(dir, 0o644, true, says("")), "system.no-file")
}
