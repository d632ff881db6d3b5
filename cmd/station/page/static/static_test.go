package static

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"image/png"
	"io"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cmd/station/page"
)

// bench stands in for the program, which takes long to build.
func bench(text string) Bench {
	return Bench{Plain: []byte(strings.Repeat(text, 1000)), Brotli: []byte("br " + text), Loader: []byte("loader")}
}

func made(t *testing.T, text string, given *Case) *Site {
	s, err := New(bench(text), given)
	require.NoError(t, err)
	return s
}

// written is what lies in a folder, by name.
func written(t *testing.T, dir string) map[string]string {
	out := map[string]string{}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
		out[e.Name()] = string(data)
	}
	return out
}

func hash(data string) string { return fmt.Sprintf("%x", sha256.Sum256([]byte(data))) }

// What a name says is what is in the file, so that it can be kept for ever; only what
// everybody asks for has a name that stays.
func TestNamesGoWithContents(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, made(t, "a", nil).Write(dir))
	stay := []string{}
	for name, data := range written(t, dir) {
		parts := strings.Split(strings.TrimSuffix(name, ".br"), ".")
		switch {
		case strings.HasSuffix(name, ".br"):
			assert.Equal(t, "br a", data)
		case len(parts) == 3:
			assert.Equal(t, hash(data)[:16], parts[1], name)
		default:
			stay = append(stay, name)
		}
	}
	slices.Sort(stay)
	assert.Equal(t, []string{noteFile, pageFile, workerFile}, stay)
}

// What the page loads lies beside it, by a name without a path or a host, so that it
// works below any address.
func TestEverythingIsThere(t *testing.T) {
	dir := t.TempDir()
	s := made(t, "a", &Case{Name: "mine.toml", Data: []byte("conoid = 2")})
	require.NoError(t, s.Write(dir))
	files := written(t, dir)
	index := files[pageFile]
	for _, m := range regexp.MustCompile(`(?:href|src)="([^"]*)"`).FindAllStringSubmatch(index, -1) {
		if m[1] != "" { // the link to the page itself
			assert.Contains(t, files, m[1])
		}
	}
	build := given[page.Build](t, files, "build", "build")
	assert.Equal(t, workerFile, build.Worker)
	assert.Equal(t, "mine.toml", build.Case.Name)
	assert.Equal(t, "conoid = 2", files[build.Case.File])
	assert.Equal(t, strings.Repeat("a", 1000), files[build.Bench.Plain])
	assert.Equal(t, 1000, build.Bench.Size)
	assert.Contains(t, files, build.Bench.Plain+".br")
	z, err := gzip.NewReader(strings.NewReader(files[build.Bench.Packed]))
	require.NoError(t, err)
	plain, err := io.ReadAll(z)
	require.NoError(t, err)
	assert.Equal(t, files[build.Bench.Plain], string(plain))
	for name, data := range files {
		if path.Ext(name) != ".png" {
			assert.NotRegexp(t, `https?://|"//|"/[a-z]`, data, name)
		}
	}

	other := t.TempDir()
	require.NoError(t, made(t, "a", &Case{ID: "ferry-clerk"}).Write(other))
	assert.Equal(t, &page.Given{ID: "ferry-clerk"}, given[page.Build](t, written(t, other), "build", "build").Case)
}

// given is the value that a script names, in the file whose name begins so.
func given[T any](t *testing.T, files map[string]string, begin, value string) (v T) {
	for name, data := range files {
		if !strings.HasPrefix(name, begin) {
			continue
		}
		_, text, found := strings.Cut(data, "const "+value+" = ")
		require.True(t, found, name)
		require.NoError(t, json.NewDecoder(strings.NewReader(text)).Decode(&v))
		return v
	}
	require.Fail(t, "no file "+begin)
	return v
}

// The page's own policy comes before anything that it is about. In a page no
// frame-ancestors are heeded (Content Security Policy Level 3), and browsers complain.
func TestPolicy(t *testing.T) {
	index := string(made(t, "a", nil).page)
	at := strings.Index(index, `<meta http-equiv="Content-Security-Policy" content="`+page.MetaPolicy+`">`)
	require.Positive(t, at)
	assert.Less(t, at, strings.Index(index, "<link"))
	assert.Less(t, at, strings.Index(index, "<script"))
	assert.NotContains(t, page.MetaPolicy, "frame-ancestors")
	assert.Contains(t, page.MetaPolicy, "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self';")
	assert.NotContains(t, page.MetaPolicy, "unsafe-inline")
}

// The worker keeps all that the page loads, each by its SHA-256, and knows one of the
// forms of the bench to be enough.
func TestWorker(t *testing.T) {
	s := made(t, "a", nil)
	dir := t.TempDir()
	require.NoError(t, s.Write(dir))
	files := written(t, dir)
	kept := given[page.Kept](t, files, workerFile, "site")
	assert.Equal(t, hash(files[pageFile])[:16], kept.ID)
	assert.Equal(t, hash(files[pageFile]), kept.Files["./"])
	for name, data := range files {
		switch name {
		case kept.Bench.Plain, kept.Bench.Packed:
			assert.Equal(t, hash(data), kept.Benches[name], name)
		case pageFile, workerFile, noteFile, kept.Bench.Plain + ".br":
		default:
			assert.Equal(t, hash(data), kept.Files[name], name)
		}
	}
	assert.Len(t, kept.Files, len(files)-5)
	assert.Contains(t, files[workerFile], "async function pick(")
}

// One manifest for each language, and icons as large as it says.
func TestManifests(t *testing.T) {
	s := made(t, "a", nil)
	seen := map[string]bool{}
	for name, data := range s.files {
		if path.Ext(name) != ".webmanifest" {
			continue
		}
		var m struct {
			Name, Lang, Display string
			Start               string `json:"start_url"`
			Scope               string
			Icons               []icon
		}
		require.NoError(t, json.Unmarshal(data, &m))
		seen[m.Lang] = true
		assert.Equal(t, assets.Words(m.Lang, "page.title")[0], m.Name)
		assert.Equal(t, []string{"./", "./", "standalone"}, []string{m.Start, m.Scope, m.Display})
		for _, i := range m.Icons {
			im, err := png.Decode(bytes.NewReader(s.files[i.Source]))
			require.NoError(t, err)
			assert.Equal(t, i.Sizes, fmt.Sprintf("%dx%d", im.Bounds().Dx(), im.Bounds().Dy()))
		}
		assert.Len(t, m.Icons, 2)
	}
	assert.Len(t, seen, len(assets.Languages()))
	assert.Contains(t, string(s.page), `<link rel="manifest" href="conoid-en.`)
}

// The same bench gives the same site.
func TestSiteIsTheSame(t *testing.T) {
	a, b := made(t, "a", nil), made(t, "a", nil)
	assert.Equal(t, a.files, b.files)
	assert.Equal(t, a.ID, b.ID)
	assert.NotEqual(t, a.ID, made(t, "b", nil).ID)
}
