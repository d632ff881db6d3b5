package voice

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// wordy are the files that make errors in English words, and why they may.
var wordy = map[string]string{
	"sim/retina/pupil.go":                     "for programmers: who calls has checked what a person typed",
	"scoring/practical/simulate.go":           "how a simulated candidate breaks off, within the package",
	"cmd/conoid/desk.go":                      "how the user quits, within the command",
	"cmd/internal/chair/chairtest/disk.go":    "for tests",
	"cmd/internal/host/crowd/crowd.go":        "for tests",
	"cmd/internal/host/crowd/compare.go":      "for tests",
	"cmd/station/internal/display/display.go": "before there is a voice: the bench cannot start without a screen",
}

// Whatever may go wrong is a fact, so that it can be told in every language: no
// package makes an error in words, but for those in which nobody reads it.
func TestNoErrorIsMadeInWords(t *testing.T) {
	found := map[string]bool{}
	for _, room := range []string{"sim", "cases", "scoring", "render", "cmd"} {
		root := filepath.Join("..", "..")
		require.NoError(t, filepath.WalkDir(filepath.Join(root, room), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			name, err := filepath.Rel(root, path)
			require.NoError(t, err)
			name = filepath.ToSlash(name)
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, path, nil, 0)
			require.NoError(t, err)
			for _, at := range madeInWords(file) {
				found[name] = true
				assert.NotEmpty(t, wordy[name], "%s: an error in words: make it a fact", set.Position(at))
			}
			return nil
		}))
	}
	for name := range wordy {
		assert.True(t, found[name], "%s makes no error in words any more: take it off the list", name)
	}
}

// madeInWords is where a file makes errors in words.
func madeInWords(file *ast.File) (out []token.Pos) {
	ast.Inspect(file, func(n ast.Node) bool {
		if call, is := n.(*ast.SelectorExpr); is {
			in, _ := call.X.(*ast.Ident)
			if in != nil && (in.Name == "errors" && call.Sel.Name == "New" || in.Name == "fmt" && call.Sel.Name == "Errorf") {
				out = append(out, call.Pos())
			}
		}
		return true
	})
	return out
}

func TestErrorsInWordsAreFound(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "", `package p
var a = errors.New("no")
var b = fmt.Errorf("no")
var make = errors.New
var c = errors.Join(a, b)
var d = fact.New("no")
var e = fmt.Sprintf("no")`, 0)
	require.NoError(t, err)
	assert.Len(t, madeInWords(file), 3)
}
