package voice

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/assets"
)

// places are where values are filled in: {name}, {name/form} or {name:one|many}.
var places = regexp.MustCompile(`\{([a-z][a-z0-9_]*)(?:/([a-z]+)|:([^|}]*)\|([^}]*))?\}`)

// What is read by hand is what the regular expression finds, in any text.
func TestPlacesAreReadAsTheExpressionHasThem(t *testing.T) {
	values := map[string]any{"n": 1, "a_1": "x", "ab": "y", "1": "z"}
	alphabet := []string{"{", "}", "{", "}", "|", ":", "/", "n", "ab", "a_1", "b", "_", "1", " ", "Ä", "{n}", "{ab}", "{n:"}
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOfN(rapid.SampledFrom(alphabet), 0, 24).Draw(t, "text"), "")
		want := places.ReplaceAllStringFunc(text, func(at string) string {
			m := places.FindStringSubmatch(at)
			value, ok := values[m[1]]
			if !ok {
				return at
			}
			return style{English}.put(place{m[1], m[2], m[3], m[4]}, value)
		})
		assert.Equal(t, want, English.fill(text, values))
	})
}

// told is a fact that the program can tell, as it stands in its code.
type told struct {
	at     string
	id     string // or how it begins, if the rest is worked out
	begins bool
	values []string // names
	open   bool     // more values may be added
}

// Whatever any room can tell has words in every language, and the words ask
// for no value that the fact does not have.
func TestAllThatCanBeToldHasWords(t *testing.T) {
	facts := tellable(t)
	require.NotEmpty(t, facts)
	for _, language := range assets.Languages() {
		for _, f := range facts {
			ways := assets.Words(language, f.id)
			if f.begins {
				assert.True(t, anyBegins(language, f.id), "%s: %s: no words for %q and what follows", f.at, language, f.id)
				continue
			}
			assert.NotEmpty(t, ways, "%s: %s: no words for %q", f.at, language, f.id)
			for _, way := range ways {
				for _, m := range places.FindAllStringSubmatch(way, -1) {
					if !f.open {
						assert.Contains(t, f.values, m[1], "%s: %s: %q asks for it", f.at, language, f.id)
					}
				}
			}
		}
	}
}

func anyBegins(language, with string) bool {
	for _, key := range assets.Keys(language) {
		if strings.HasPrefix(key, with) {
			return true
		}
	}
	return false
}

// tellers are the functions that make facts, or say them at once, and the place
// of the ID among their arguments.
var tellers = map[string]int{"New": 0, "Refuse": 0, "Because": 1, "Text": 0}

// tellable finds what the program can tell in its own code.
func tellable(t *testing.T) (out []told) {
	root := filepath.Join("..", "..")
	set := token.NewFileSet()
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(set, path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, is := n.(*ast.CallExpr)
			if !is {
				return true
			}
			if f, is := factOf(call); is {
				f.at = set.Position(call.Pos()).String()
				out = append(out, f)
			}
			return true
		})
		return nil
	}))
	return out
}

// factOf is the fact that a call makes, if it makes one: of package fact, or by
// a method Text.
func factOf(call *ast.CallExpr) (told, bool) {
	sel, is := call.Fun.(*ast.SelectorExpr)
	if !is {
		return told{}, false
	}
	at, is := tellers[sel.Sel.Name]
	if !is || len(call.Args) <= at {
		return told{}, false
	}
	pkg, named := sel.X.(*ast.Ident)
	if sel.Sel.Name != "Text" && !(named && pkg.Name == "fact") {
		return told{}, false
	}
	f := told{open: call.Ellipsis.IsValid()}
	switch id := call.Args[at].(type) {
	case *ast.BasicLit:
		f.id, _ = strconv.Unquote(id.Value)
	case *ast.BinaryExpr: // "chart." + name
		lead := id.X
		for {
			if deeper, is := lead.(*ast.BinaryExpr); is {
				lead = deeper.X
				continue
			}
			break
		}
		lit, is := lead.(*ast.BasicLit)
		if !is {
			return told{}, false
		}
		f.id, _ = strconv.Unquote(lit.Value)
		f.begins = true
	default:
		return told{}, false
	}
	if sel.Sel.Name == "Because" {
		f.values = append(f.values, "cause")
	}
	for i := at + 1; i < len(call.Args); i += 2 {
		if name, is := call.Args[i].(*ast.BasicLit); is {
			text, _ := strconv.Unquote(name.Value)
			f.values = append(f.values, text)
		} else {
			f.open = true
		}
	}
	return f, true
}

// No language asks for a value that English does not have.
func TestLanguagesFillInTheSame(t *testing.T) {
	names := func(language, key string) map[string]bool {
		out := map[string]bool{}
		for _, way := range assets.Words(language, key) {
			for _, m := range places.FindAllStringSubmatch(way, -1) {
				out[m[1]] = true
			}
		}
		return out
	}
	for _, key := range assets.Keys(assets.English) {
		for _, language := range assets.Languages() {
			if strings.HasPrefix(key, "say.") {
				continue // each way of a patient's is a way of its own
			}
			for name := range names(language, key) {
				assert.Contains(t, names(assets.English, key), name, "%s %s", language, key)
			}
		}
	}
}
