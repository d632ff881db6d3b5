package wire_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host/wire"
	"conoid/sim/eye"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// types are all types of the package.
var types = map[string]reflect.Type{
	"Enter": reflect.TypeFor[wire.Enter](), "Tab": reflect.TypeFor[wire.Tab](), "Act": reflect.TypeFor[wire.Act](),
	"Stage": reflect.TypeFor[wire.Stage](), "Clock": reflect.TypeFor[wire.Clock](), "Seat": reflect.TypeFor[wire.Seat](),
	"Patient": reflect.TypeFor[wire.Patient](), "Event": reflect.TypeFor[wire.Event](), "Done": reflect.TypeFor[wire.Done](),
	"Problem": reflect.TypeFor[wire.Problem](), "Kind": reflect.TypeFor[wire.Kind](), "Cut": reflect.TypeFor[wire.Cut](),
}

// secret are types that a candidate's machine is never sent.
var secret = map[reflect.Type]bool{
	reflect.TypeFor[sitting.Setup](): true, reflect.TypeFor[sitting.Truth](): true, reflect.TypeFor[sitting.Keys](): true,
	reflect.TypeFor[sitting.Key](): true, reflect.TypeFor[sitting.Header](): true, reflect.TypeFor[sitting.Aside](): true,
	reflect.TypeFor[eye.Eye](): true, reflect.TypeFor[patient.Manner](): true, reflect.TypeFor[patient.Sight](): true,
	reflect.TypeFor[cases.Case](): true, reflect.TypeFor[cases.Eye](): true,
}

// words are names that a field has only if it tells something of the truth, or of
// chance. An Eye is told where it is the side that an action is about.
var words = map[string]bool{
	"Error": true, "Eye": true, "Eyes": true, "Manner": true, "Seed": true, "Hash": true, "Key": true, "Keys": true,
	"Noise": true, "Truth": true, "Chain": true, "Aside": true, "Case": true,
}

// told tells of every type and field of which a value of the type can have something.
func told(of reflect.Type, seen map[reflect.Type]bool, tell func(in reflect.Type, f reflect.StructField)) {
	if seen[of] {
		return
	}
	seen[of] = true
	switch of.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Array:
		told(of.Elem(), seen, tell)
	case reflect.Map:
		told(of.Key(), seen, tell)
		told(of.Elem(), seen, tell)
	case reflect.Struct:
		for f := range of.Fields() {
			tell(of, f)
			told(f.Type, seen, tell)
		}
	}
}

// No type that is sent has, however deep, anything of the truth, of the keys of a sitting
// or of the hash of a case.
func TestNothingThatIsSentTellsTheTruth(t *testing.T) {
	side := reflect.TypeFor[sitting.Side]()
	seen := map[reflect.Type]bool{}
	for name, of := range types {
		told(of, seen, func(in reflect.Type, f reflect.StructField) {
			assert.False(t, words[f.Name] && f.Type != side, "%s: %v.%s", name, in, f.Name)
			assert.NotEqual(t, reflect.Interface, f.Type.Kind(), "%s: %v.%s could be anything", name, in, f.Name)
		})
	}
	for of := range seen {
		assert.False(t, secret[of], "%v is sent", of)
	}
	assert.True(t, seen[reflect.TypeFor[patient.RowRead]()], "it goes as deep as that")
}

// The list above has every type of the package.
func TestAllTypesAreLookedAt(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "wire.go", nil, parser.SkipObjectResolution)
	require.NoError(t, err)
	n := 0
	ast.Inspect(file, func(node ast.Node) bool {
		if spec, is := node.(*ast.TypeSpec); is {
			n++
			assert.Contains(t, types, spec.Name.Name)
		}
		return true
	})
	assert.Len(t, types, n)
}
