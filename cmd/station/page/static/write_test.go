package static

import (
	"maps"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An update leaves the files of the build before, for pages that are open, and takes
// those of older ones away. What somebody else put there stays.
func TestUpdateKeepsOneBuild(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "public", "conoid")
	a, b, c := made(t, "a", nil), made(t, "b", nil), made(t, "c", nil)
	require.NoError(t, a.Write(dir))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "robots.txt"), []byte("theirs"), 0o644))
	require.NoError(t, b.Write(dir))
	there := func(s *Site) (n int) {
		for _, name := range s.names() {
			if _, err := os.Stat(filepath.Join(dir, name)); err == nil {
				n++
			}
		}
		return n
	}
	assert.Equal(t, len(a.files), there(a))
	assert.Equal(t, len(b.files), there(b))
	assert.Equal(t, string(b.page), written(t, dir)[pageFile])

	before := written(t, dir)
	require.NoError(t, b.Write(dir))
	assert.True(t, maps.Equal(before, written(t, dir)), "the same build again")

	require.NoError(t, c.Write(dir))
	shared := 0
	for name := range a.files {
		if b.files[name] != nil || c.files[name] != nil {
			shared++
		}
	}
	assert.Equal(t, shared, there(a))
	assert.Equal(t, len(b.files), there(b))
	assert.Equal(t, len(c.files), there(c))
	assert.Equal(t, "theirs", written(t, dir)["robots.txt"])
}

// A folder with other things in it is left as it is, and so is one whose note cannot be
// read.
func TestForeignFolders(t *testing.T) {
	for name, c := range map[string]struct{ file, text, says string }{
		"others":  {"thesis.txt", "x", "site.not-ours"},
		"damaged": {noteFile, "{", "site.bad-note"},
		"later":   {noteFile, `{"conoid-site":2}`, "site.bad-note"},
	} {
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, c.file), []byte(c.text), 0o644))
		assert.ErrorContains(t, made(t, "a", nil).Write(dir), c.says, name)
		assert.Equal(t, map[string]string{c.file: c.text}, written(t, dir), name)
	}
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, []byte("x"), 0o644))
	assert.ErrorContains(t, made(t, "a", nil).Write(file), "site.not-written")
}

// A note that names files elsewhere has nothing of them taken away.
func TestNoteLeadsNowhere(t *testing.T) {
	dir := t.TempDir()
	away := filepath.Join(dir, "diary.txt")
	require.NoError(t, os.WriteFile(away, []byte("mine"), 0o644))
	site := filepath.Join(dir, "site")
	require.NoError(t, os.Mkdir(site, 0o755))
	require.NoError(t, writeNote(site, []build{{"1", nil}, {"2", []string{"../diary.txt", `..\diary.txt`, "/etc/hosts", ""}}}))
	require.NoError(t, made(t, "a", nil).Write(site))
	assert.FileExists(t, away)
}

// When an update fails in the middle, what was there is as it was.
func TestFailedUpdate(t *testing.T) {
	a, b := made(t, "a", nil), made(t, "b", nil)
	for _, blocked := range []string{pageFile, workerFile, b.kept.Bench.Plain} {
		dir := t.TempDir()
		require.NoError(t, a.Write(dir))
		before := written(t, dir)
		draft := filepath.Join(dir, blocked+".draft")
		require.NoError(t, os.MkdirAll(filepath.Join(draft, "x"), 0o755)) // cannot be written
		assert.ErrorContains(t, b.Write(dir), "site.not-written", blocked)
		require.NoError(t, os.RemoveAll(draft))
		assert.True(t, maps.Equal(before, written(t, dir)), blocked)
	}
}
