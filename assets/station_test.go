package assets

import (
	"go/ast"
	"go/build"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// said are the texts in the code of the bench in a browser, and of all of ours that it is
// made of, that may be the ID of words, or the beginning of one.
func said(t *testing.T) (out []string) {
	bench := build.Default
	bench.GOOS, bench.GOARCH = "js", "wasm"
	seen, texts := map[string]bool{}, map[string]bool{}
	var look func(path string)
	look = func(path string) {
		if seen[path] || !strings.HasPrefix(path, "conoid/") {
			return
		}
		seen[path] = true
		dir := filepath.Join("..", filepath.FromSlash(strings.TrimPrefix(path, "conoid/")))
		pkg, err := bench.ImportDir(dir, 0)
		require.NoError(t, err)
		for _, name := range pkg.GoFiles {
			literals(t, filepath.Join(dir, name), texts)
		}
		pages, err := filepath.Glob(filepath.Join(dir, "*.html"))
		require.NoError(t, err)
		for _, name := range pages {
			quoted(t, name, texts)
		}
		for _, i := range pkg.Imports {
			look(i)
		}
	}
	look("conoid/cmd/station")
	require.Greater(t, len(seen), 40)
	for text := range texts {
		out = append(out, text)
	}
	return out
}

// quoted notes what stands between quotation marks in a page.
func quoted(t *testing.T, path string, into map[string]bool) {
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	for _, m := range marks.FindAllStringSubmatch(string(data), -1) {
		into[m[1]] = true
	}
}

var marks = regexp.MustCompile(`"([^"\s]+)"`)

// literals notes the texts in a file.
func literals(t *testing.T, path string, into map[string]bool) {
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
	require.NoError(t, err)
	ast.Inspect(file, func(n ast.Node) bool {
		if l, is := n.(*ast.BasicLit); is && l.Kind == token.STRING {
			if text, err := strconv.Unquote(l.Value); err == nil {
				into[text] = true
			}
		}
		return true
	})
}

// may reports whether a key may be meant by a text in the code: it is the text, or begins
// with it and goes on.
func may(key, text string) bool {
	if key == text {
		return true
	}
	dotted := strings.Contains(text, ".")
	return dotted && strings.HasPrefix(key, text) && (strings.HasSuffix(text, ".") || strings.HasSuffix(text, "-") || key[len(text)] == '.')
}

// The bench in a browser does not carry the words that only the other programs say, and so
// must not say them.
func TestTheBenchSaysNoneOfTheProgramsOwnWords(t *testing.T) {
	texts := said(t)
	for _, language := range Languages() {
		own := book("words/" + language + "/program")
		assert.Greater(t, len(own), 500)
		for key := range own {
			if i := slices.IndexFunc(texts, func(text string) bool { return may(key, text) }); i >= 0 {
				assert.Fail(t, "the bench may say it: move it out of the folder program", "%s: %s, by %q", language, key, texts[i])
			}
		}
	}
}
