package cases

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// validator is a general-purpose validator (draft 7) at work on our schema of cases.
func validator(t require.TestingT) *jsonschema.Schema { return validatorOf(t, JSONSchema(plainWords)) }

func validatorOf(t require.TestingT, schema []byte) *jsonschema.Schema {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("case.json", doc))
	s, err := c.Compile("case.json") // checks it against the schema of schemas
	require.NoError(t, err)
	return s
}

// allows tells what the schema says of a file. The file goes through generic
// values, as in an editor, and not through our reader.
func allows(t require.TestingT, s *jsonschema.Schema, file string) error {
	var values map[string]any
	require.NoError(t, toml.Unmarshal([]byte(file), &values), file)
	data, err := json.Marshal(values)
	require.NoError(t, err)
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	require.NoError(t, err)
	return s.Validate(v)
}

func TestTheSchemaAllowsWhatIsRight(t *testing.T) {
	s := validator(t)
	files := map[string]string{"template": string(Template(plainWords)), "plain": plain}
	for _, c := range Library() {
		file, err := library.ReadFile("library/" + c.ID + ".toml")
		require.NoError(t, err)
		files[c.ID], files[c.ID+", written"] = string(file), string(Write(c))
	}
	for seed := range uint64(200) {
		files[fmt.Sprintf("drawn %d", seed)] = string(Write(Draw(seed, int(seed%5))))
	}
	for name, file := range map[string]string{
		"a manner of its own":   with("", "[patient.manner]\nlike = \"keen\"\nlapse = 0.1"),
		"aberrations, a seed":   with("", "aberrations = 12"),
		"aberrations, one each": with("", "[right.aberrations]\ndiameter = 6\n12 = 0.1"),
		"an inline table":       with("", "aberrations = { diameter = 6, 12 = 0.1 }"),
		"the left eye":          with("[right]", "tested = \"left\"\n[left]"),
		"lines":                 with("title", "story = \"\"\"\none\n\ntwo – “three”\"\"\"\ntitle"),
		"acuities":              with("", "unaided = \"6/18\"\nbest-sphere = \"0.1 logMAR\""),
		"a whole number":        with("34", "34.0"),
		"feedback":              with("", "[feedback]\nfog-lost = \"\"\"a\n\nb\"\"\"\n[feedback.de]\nwrong-eye = \"c\""),
		"the line for editors":  "#:schema ./case.schema.json\n" + plain,
	} {
		files[name] = file
	}
	for name, file := range files {
		_, err := Read("quay.toml", []byte(file))
		require.NoError(t, err, name)
		assert.NoError(t, allows(t, s, file), name)
	}
}

// Every mistake that the schema can express is refused by it and by Read. They
// are made from the list of keys, so that a new key has its mistakes as well.
func TestTheSchemaAndReadRefuseTheSame(t *testing.T) {
	s := validator(t)
	refused := func(t *testing.T, file string) {
		_, err := Read("quay.toml", []byte(file))
		assert.Error(t, err, "Read: %s", file)
		assert.Error(t, allows(t, s, file), "schema: %s", file)
	}
	n := 0
	for _, sec := range schema() {
		keys := sec.keys
		if inSection(feedback, sec.name) {
			keys = keys[:2] // they are all made alike, and there are many
		}
		for _, k := range keys {
			for _, value := range wrongValues(k.json) {
				t.Run(k.path+" = "+value, func(t *testing.T) { refused(t, setTo(t, k.path, value)) })
				n++
			}
		}
		t.Run("unknown in "+sec.name, func(t *testing.T) { refused(t, setTo(t, strings.TrimPrefix(sec.name+".nonsense", "."), "1")) })
	}
	assert.Greater(t, n, 200)
	for name, file := range map[string]string{
		"no version":               with("conoid = 2\n", ""),
		"no title":                 with("title = \"T\"\n", ""),
		"an empty title":           with(`"T"`, `"  "`),
		"no age":                   with("age = 34", ""),
		"no patient":               with("[patient]\nage = 34\n", ""),
		"no error":                 with("error = \"-1.00 / -2.00 x 30\"\n", ""),
		"no objective":             with("objective = \"-0.75 / -1.75 x 35\"\n", ""),
		"no tested eye":            with("age = 34", "age = 34\ntested = \"left\""),
		"no objective on the left": with("[right]\nerror = \"-1.00 / -2.00 x 30\"\nobjective = \"-0.75 / -1.75 x 35\"", "tested = \"left\"\n[left]\nerror = \"-1.00 DS\""),
		"no error in the other":    with("", "[left]\npupil = 3"),
		"no eyes":                  strings.Split(plain, "[right]")[0],
		"modes without diameter":   with("", "[right.aberrations]\n12 = 0.1"),
		"modes without anything":   with("", "[right.aberrations]"),
		"an unknown section":       with("", "[rigth]"),
		"a section for a value":    with("age = 34", "age = { years = 34 }"),
		"a value for a section":    "room = 3\n" + plain,
	} {
		t.Run(name, func(t *testing.T) { refused(t, file) })
	}
}

// wrongValues are values that a rule does not allow, as TOML.
func wrongValues(r rule) []string {
	out := []string{"true", "[1]", "{ x = 1 }"} // a date would be a text in JSON
	if r["type"] == "boolean" {
		out = append(out[1:], "1", `"true"`)
	}
	if r["type"] == "number" || r["type"] == "integer" {
		out = append(out, `"1"`, fmt.Sprint(r["minimum"].(float64)-0.5), fmt.Sprint(r["minimum"].(float64)-1), fmt.Sprintf("%.0f", 2*r["maximum"].(float64)+1))
	}
	if r["type"] == "integer" {
		out = append(out, fmt.Sprint(r["minimum"].(float64)+0.5))
	}
	if r["type"] == "string" {
		out = append(out, "7", "0.5")
	}
	if r["pattern"] != nil && r["maxLength"] == nil {
		out = append(out, `"banana"`, `"1.00 2.00 3.00"`, `"6/6 or so"`)
	}
	if most, ok := r["maxLength"].(int); ok {
		out = append(out, toText(strings.Repeat("é", most+1)), `"a\u0007b"`, `"a\u200bb"`)
	}
	if r["type"] == "array" {
		out = append(out, "[]", `"x"`, `["nonsense"]`)
	}
	if r["enum"] != nil || r["const"] != nil || r["anyOf"] != nil {
		out = append(out, `"nonsense"`, "0.5", "0")
	}
	return out
}

// setTo is a case that has every section, with one key set to a value.
func setTo(t *testing.T, path, value string) string {
	base := map[string]any{}
	c, err := Read("quay.toml", []byte(plain))
	require.NoError(t, err)
	require.NoError(t, toml.Unmarshal(Write(c), &base))
	var v map[string]any
	require.NoError(t, toml.Unmarshal([]byte("x = "+value), &v))
	at := base
	parts := strings.Split(path, ".")
	for i, p := range parts[:len(parts)-1] {
		inner, ok := at[p].(map[string]any)
		if !ok {
			inner = map[string]any{}
			if p == "aberrations" && i > 0 {
				inner["diameter"] = 6
			}
			at[p] = inner
		}
		at = inner
	}
	at[parts[len(parts)-1]] = v["x"]
	file, err := toml.Marshal(base)
	require.NoError(t, err)
	return string(file)
}

// Whatever Read allows the schema allows, too: nobody is told of a mistake that
// is none.
func TestTheSchemaRefusesNothingThatReadAllows(t *testing.T) {
	s := validator(t)
	values := rapid.SampledFrom([]string{"0", "1", "2.5", "-3", "60", `"keen"`, `"left"`, `"none"`, `"-1.00 DS"`, `"6/9"`, `"a b"`, "true", "[]", "{}", `""`, "1e3"})
	var paths []string
	for _, sec := range schema() {
		for _, k := range sec.keys {
			paths = append(paths, k.path)
		}
	}
	rapid.Check(t, func(r *rapid.T) {
		path, value := rapid.SampledFrom(paths).Draw(r, "path"), values.Draw(r, "value")
		file := setTo(t, path, value)
		if _, err := Read("quay.toml", []byte(file)); err == nil {
			assert.NoError(r, allows(r, s, file), file)
		}
	})
}
