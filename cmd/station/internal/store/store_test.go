package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func open(t *testing.T) *Folder {
	s, err := Open(filepath.Join(t.TempDir(), "conoid"))
	require.NoError(t, err)
	t.Cleanup(func() { s.Close() })
	return s
}

func read(t *testing.T, s *Folder, name string) string {
	data, err := s.Read(name)
	require.NoError(t, err)
	return string(data)
}

func TestFolder(t *testing.T) {
	s := open(t)
	_, err := s.Read("sittings/a.jsonl")
	require.ErrorIs(t, err, fs.ErrNotExist)
	require.NoError(t, s.Append("sittings/b.jsonl", []byte("one\n")))
	require.NoError(t, s.Append("sittings/b.jsonl", []byte("two\n")))
	require.NoError(t, s.Append("sittings/a.jsonl", []byte("x")))
	require.NoError(t, s.Replace("settings.json", []byte("{}")))
	require.NoError(t, s.Replace("settings.json", []byte("{1}")))
	assert.Equal(t, "one\ntwo\n", read(t, s, "sittings/b.jsonl"))
	assert.Equal(t, "{1}", read(t, s, "settings.json"))

	names, err := s.List("sittings/")
	require.NoError(t, err)
	assert.Equal(t, []string{"sittings/a.jsonl", "sittings/b.jsonl"}, names)
	names, err = s.List("")
	require.NoError(t, err)
	assert.Equal(t, []string{"settings.json", "sittings/a.jsonl", "sittings/b.jsonl"}, names)

	require.NoError(t, s.Truncate("sittings/b.jsonl", 4))
	assert.Equal(t, "one\n", read(t, s, "sittings/b.jsonl"))
	require.NoError(t, s.Append("sittings/b.jsonl", []byte("three\n")))
	assert.Equal(t, "one\nthree\n", read(t, s, "sittings/b.jsonl"))

	require.NoError(t, s.Remove("sittings/a.jsonl"))
	require.NoError(t, s.Remove("sittings/a.jsonl"), "nothing to remove")
	require.ErrorIs(t, s.Truncate("sittings/a.jsonl", 0), fs.ErrNotExist)
}

// What is written is there for a program that opens the folder anew.
func TestFolderStays(t *testing.T) {
	s := open(t)
	require.NoError(t, s.Append("a.jsonl", []byte("kept")))
	again, err := Open(s.dir)
	require.NoError(t, err)
	defer again.Close()
	assert.Equal(t, "kept", read(t, again, "a.jsonl"))
}

func TestNames(t *testing.T) {
	s := open(t)
	for _, bad := range []string{"", "/", "../a", "a/../../b", "a//b", "/etc/passwd", "a/", ".hidden", "a/.b", "A", "a b", `a\b`, "c:", "a.", "é", "a\x00", strings.Repeat("a", 300)} {
		assert.Error(t, Check(bad), bad)
		assert.Error(t, s.Append(bad, nil), bad)
		assert.Error(t, s.Replace(bad, nil), bad)
		_, err := s.Read(bad)
		assert.Error(t, err, bad)
		assert.NotErrorIs(t, err, fs.ErrNotExist, bad)
		assert.Error(t, s.Remove(bad), bad)
		assert.Error(t, s.Truncate(bad, 0), bad)
	}
	assert.NoError(t, Check("sittings/ferry-clerk-20261125-101500-42.jsonl"))
	assert.ErrorContains(t, Check("a b"), `store.name-sign`)
}

// A link that leads out of the folder is not followed.
func TestLinkOutside(t *testing.T) {
	s := open(t)
	outside := t.TempDir()
	if err := os.Symlink(outside, filepath.Join(s.dir, "sittings")); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	assert.Error(t, s.Append("sittings/a.jsonl", []byte("x")))
	left, err := os.ReadDir(outside)
	require.NoError(t, err)
	assert.Empty(t, left)
}

var errFull = errors.New("no space left on device")

func short(f *os.File, data []byte) (int, error) {
	n, _ := f.Write(data[:len(data)/2])
	return n, nil
}

func full(f *os.File, data []byte) (int, error) {
	n, _ := f.Write(data[:len(data)/2])
	return n, errFull
}

// A write that fails midway leaves what was there, and no draft.
func TestFailedWrites(t *testing.T) {
	failures := map[string]func(*Folder){
		"short write": func(s *Folder) { s.write = short },
		"full disk":   func(s *Folder) { s.write = full },
		"failed sync": func(s *Folder) { s.sync = func(*os.File) error { return errFull } },
	}
	for name, fail := range failures {
		t.Run(name, func(t *testing.T) {
			s := open(t)
			require.NoError(t, s.Append("a.jsonl", []byte("before\n")))
			fail(s)
			err := s.Append("a.jsonl", []byte("after\n"))
			require.Error(t, err)
			assert.Contains(t, err.Error(), "store.not-written (file "+filepath.Join(s.dir, "a.jsonl")+")")
			require.Error(t, s.Replace("a.jsonl", []byte("instead\n")))
			require.Error(t, s.Append("new.jsonl", []byte("new\n")))
			require.Error(t, s.Replace("other.jsonl", []byte("new\n")))

			assert.Equal(t, "before\n", read(t, s, "a.jsonl"))
			left, err := os.ReadDir(s.dir)
			require.NoError(t, err)
			require.Len(t, left, 1)
			assert.Equal(t, "a.jsonl", left[0].Name())
		})
	}
}

func TestReadOnlyFolder(t *testing.T) {
	s := open(t)
	require.NoError(t, os.Chmod(s.dir, 0o555))
	defer os.Chmod(s.dir, 0o755)
	if f, err := os.Create(filepath.Join(s.dir, "probe")); err == nil {
		f.Close()
		t.Skip("this user may write into every folder")
	}
	require.ErrorIs(t, s.Append("a.jsonl", []byte("x")), fs.ErrPermission)
	require.ErrorIs(t, s.Replace("a.jsonl", []byte("x")), fs.ErrPermission)
}

// A file where a folder has to be is told with its place.
func TestNoFolder(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o644))
	_, err := Open(file)
	require.ErrorContains(t, err, file)
	s := open(t)
	require.NoError(t, s.Append("sittings", []byte("x")))
	require.ErrorContains(t, s.Append("sittings/a.jsonl", []byte("x")), "store.not-written")
	assert.Equal(t, "x", read(t, s, "sittings"))
}

// Against the plainest store there is: a map.
func TestFolderIsAMap(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		require.NoError(t, os.RemoveAll(dir))
		s, err := Open(dir)
		require.NoError(t, err)
		defer s.Close()
		s.sync = func(*os.File) error { return nil } // for speed
		want := map[string]string{}
		for range rapid.IntRange(1, 20).Draw(t, "steps") {
			name := rapid.SampledFrom([]string{"a.jsonl", "b/a.jsonl", "b/c.jsonl"}).Draw(t, "name")
			text := rapid.StringN(0, 9, -1).Draw(t, "text")
			old, there := want[name]
			switch rapid.IntRange(0, 3).Draw(t, "action") {
			case 0:
				require.NoError(t, s.Append(name, []byte(text)))
				want[name] = old + text
			case 1:
				require.NoError(t, s.Replace(name, []byte(text)))
				want[name] = text
			case 2:
				require.NoError(t, s.Remove(name))
				delete(want, name)
			case 3:
				size := rapid.IntRange(0, len(old)).Draw(t, "size")
				require.Equal(t, there, s.Truncate(name, int64(size)) == nil)
				if there {
					want[name] = old[:size]
				}
			}
		}
		names, err := s.List("")
		require.NoError(t, err)
		require.Len(t, names, len(want))
		for _, name := range names {
			data, err := s.Read(name)
			require.NoError(t, err)
			require.Equal(t, want[name], string(data))
		}
	})
}

func TestGive(t *testing.T) {
	dir := t.TempDir()
	for i, want := range []string{"debrief.txt", "debrief-2.txt", "debrief-3.txt"} {
		path, err := Give(dir, "sittings/debrief.txt", []byte{byte('a' + i)})
		require.NoError(t, err)
		assert.Equal(t, filepath.Join(dir, want), path)
	}
	data, err := os.ReadFile(filepath.Join(dir, "debrief.txt"))
	require.NoError(t, err)
	assert.Equal(t, "a", string(data), "the first is left alone")
	_, err = Give(filepath.Join(dir, "lost"), "debrief.txt", nil)
	require.ErrorContains(t, err, "store.not-written")
	_, err = Give(dir, "../debrief.txt", nil)
	require.Error(t, err)
}
