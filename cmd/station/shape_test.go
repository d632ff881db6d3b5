package main_test

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

// mostMethods is how many methods a type may have, and mostLines how many lines
// a file: more than that no person reads in one go.
const mostMethods, mostLines = 25, 400

// Above sim no type knows everything, and no file holds everything.
func TestTypesAndFilesStaySmall(t *testing.T) {
	methods := map[string]int{} // by folder and type
	for _, top := range []string{"cmd", "render", "scoring", "cases"} {
		root := filepath.Join("..", "..", top)
		require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			assert.LessOrEqual(t, set.File(file.Pos()).LineCount(), mostLines+1, path)
			for _, decl := range file.Decls {
				if f, is := decl.(*ast.FuncDecl); is && f.Recv != nil {
					methods[filepath.Dir(path)+"."+receiver(f.Recv.List[0].Type)]++
				}
			}
			return nil
		}))
	}
	require.NotEmpty(t, methods)
	for name, n := range methods {
		assert.LessOrEqual(t, n, mostMethods, "%s has that many methods: make several types of it", name)
	}
}

// receiver is the name of the type of a method.
func receiver(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.StarExpr:
		return receiver(e.X)
	case *ast.IndexExpr:
		return receiver(e.X)
	case *ast.Ident:
		return e.Name
	}
	return "?"
}
