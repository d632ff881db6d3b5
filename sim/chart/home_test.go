package chart_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
)

// A new chart is a matter of this package and of the words: who means one chart
// names it, but nobody elsewhere goes through the names of charts, be it in a
// switch or by naming all charts of a kind that has several.
func TestNobodyElseGoesThroughTheNames(t *testing.T) {
	names := constants(t)
	require.NotEmpty(t, names)
	ofKind := map[chart.Kind]int{}
	for _, name := range names {
		ofKind[chart.Named(name).Kind]++
	}
	root := filepath.Join("..", "..")
	read := 0
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || filepath.Dir(path) == filepath.Join(root, "sim", "chart") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		read++
		named := map[chart.Name]bool{}
		ast.Inspect(file, func(n ast.Node) bool {
			if one := names[constant(n)]; one != chart.NoChart {
				named[one] = true
			}
			if branch, is := n.(*ast.CaseClause); is {
				for _, e := range branch.List {
					assert.Empty(t, names[constant(e)], "%s switches over the names of charts", path)
				}
			}
			return true
		})
		for kind, all := range ofKind {
			n := 0
			for name := range named {
				if name.Is(kind) {
					n++
				}
			}
			assert.False(t, all > 1 && n == all, "%s names all charts of %s", path, kind)
		}
		return nil
	}))
	assert.Greater(t, read, 100)
}

// constant is the constant of this package that an expression elsewhere is.
func constant(n ast.Node) string {
	if s, is := n.(*ast.SelectorExpr); is {
		if from, is := s.X.(*ast.Ident); is && from.Name == "chart" {
			return s.Sel.Name
		}
	}
	return ""
}

// constants are the names of charts by their constants in this package.
func constants(t *testing.T) map[string]chart.Name {
	out := map[string]chart.Name{}
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	for _, path := range files {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			v, is := n.(*ast.ValueSpec)
			if !is || len(v.Values) != 1 {
				return true
			}
			typed, is := v.Type.(*ast.Ident)
			text, literal := v.Values[0].(*ast.BasicLit)
			if is && literal && typed.Name == "Name" {
				name, err := strconv.Unquote(text.Value)
				require.NoError(t, err)
				if chart.Named(chart.Name(name)).Name != chart.NoChart {
					out[v.Names[0].Name] = chart.Name(name)
				}
			}
			return true
		})
	}
	return out
}
