package main

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/render/voice"
)

// published writes a site as --site does, and gives what is said and what its page is
// told.
func published(t *testing.T, name string) (said, build string) {
	var out bytes.Buffer
	dir := filepath.Join(t.TempDir(), "site")
	p := practice{voice: voice.English, name: name, bundle: dummy, out: &out, errs: io.Discard}
	require.NoError(t, p.publish(t.Context(), dir))
	found, err := filepath.Glob(filepath.Join(dir, "build.*.js"))
	require.NoError(t, err)
	require.Len(t, found, 1)
	data, err := os.ReadFile(found[0])
	require.NoError(t, err)
	assert.FileExists(t, filepath.Join(dir, "index.html"))
	return out.String(), string(data)
}

func TestPublish(t *testing.T) {
	said, build := published(t, "")
	assert.Contains(t, said, "for a web server")
	assert.NotContains(t, build, `"case"`)
	assert.Contains(t, build, `"size":5000`)

	said, build = published(t, "3")
	assert.NotContains(t, said, "everybody to read")
	assert.Regexp(t, `"case":{"id":"[a-z-]+"}`, build)

	// A tutor's own case is told to lie open, unless it is sealed.
	path := filepath.Join(t.TempDir(), "mine.toml")
	text := cases.Template(voice.English.Say)
	require.NoError(t, os.WriteFile(path, text, 0o644))
	said, build = published(t, path)
	assert.Contains(t, said, "The case mine.toml lies there for everybody to read")
	assert.Regexp(t, `"case":{"file":"case\.[0-9a-f]{16}\.toml","name":"mine.toml"}`, build)
	lock, err := cases.LockWith("three grey lanterns")
	require.NoError(t, err)
	sealed, err := cases.Seal("mine.toml", text, lock, lock)
	require.NoError(t, err)
	path = filepath.Join(t.TempDir(), "mine"+cases.SealedEnding)
	require.NoError(t, os.WriteFile(path, sealed, 0o644))
	said, _ = published(t, path)
	assert.NotContains(t, said, "everybody to read")
}

// What is wrong is told before anything is built or written.
func TestPublishRefuses(t *testing.T) {
	for _, c := range []struct{ folder, name, says string }{
		{"", "", "--site needs the folder"},
		{"new", "nobody", "nobody"},
		{"new", "lost.toml", "the case cannot be read: lost.toml"},
	} {
		var errs bytes.Buffer
		folder := c.folder
		if folder != "" {
			folder = filepath.Join(t.TempDir(), folder)
		}
		code := run([]string{"practise", "--site", folder, c.name}[:3+min(1, len(c.name))], strings.NewReader(""), io.Discard, &errs)
		assert.Equal(t, exitFailed, code, c)
		assert.Contains(t, errs.String(), c.says)
		assert.NoDirExists(t, filepath.Join(folder, "x"))
	}
	full := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(full, "thesis.txt"), nil, 0o644))
	p := practice{voice: voice.English, bundle: dummy, out: io.Discard, errs: io.Discard}
	err := p.publish(context.Background(), full)
	require.Error(t, err)
	assert.Contains(t, voice.English.Error(err), "has other files in it")
}
