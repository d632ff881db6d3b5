package cases_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cases"
	"conoid/render/voice"
)

var update = flag.Bool("update", false, "write the messages of the faulty files anew")

// faulty are the names and contents of files as people write them who are no
// programmers: one kind of mistake in each, but for those called many.
func faulty(t *testing.T) (names []string, files map[string][]byte) {
	paths, err := filepath.Glob("testdata/faulty/*.toml")
	require.NoError(t, err)
	files = map[string][]byte{}
	for _, path := range paths {
		name := filepath.Base(path)
		names = append(names, name)
		files[name], err = os.ReadFile(path)
		require.NoError(t, err)
	}
	return names, files
}

func readFaulty(name string, data []byte) error {
	if strings.HasPrefix(name, "set-") {
		_, err := cases.ReadAssignment(name, data)
		return err
	}
	_, err := cases.Read(name, data)
	return err
}

// What is wrong with a file is told in each language. Look at every message that
// changes as a tutor would who has never heard of TOML.
func TestMessagesOfFaultyFiles(t *testing.T) {
	names, files := faulty(t)
	require.Greater(t, len(names), 100)
	for _, language := range assets.Languages() {
		var b strings.Builder
		for _, name := range names {
			if err := readFaulty(name, files[name]); err != nil {
				fmt.Fprintf(&b, "%s\n\n", voice.In(language).Error(err))
			} else {
				fmt.Fprintf(&b, "%s: ✓\n\n", name)
			}
		}
		golden := filepath.Join("testdata", "faulty", "messages."+language+".txt")
		if *update {
			require.NoError(t, os.WriteFile(golden, []byte(b.String()), 0o644))
		}
		want, err := os.ReadFile(golden)
		require.NoError(t, err)
		assert.Equal(t, string(want), b.String())
		assert.NotContains(t, b.String(), "case.", language)
	}
}

// One mistake gives one message: each file has as many as its name says.
func TestOneMistakeGivesOneMessage(t *testing.T) {
	several := map[string]int{
		"rx-unquoted-both": 2, "rx-unquoted-axis-0": 2, "comma-behind": 2, "number-with-unit": 2, "key-german": 2, "file-yaml": 7, "file-ansi-quotes": 2,
		"sections-swapped": 2, "many": 14, "many-readable": 8,
	}
	names, files := faulty(t)
	for _, name := range names {
		short := strings.TrimSuffix(name, ".toml")
		want := 1
		if n, ok := several[short]; ok {
			want = n
		}
		err := readFaulty(name, files[name])
		if strings.HasPrefix(short, "understood-") {
			assert.NoError(t, err, name)
			continue
		}
		var bad *cases.Malformed
		var other *cases.Unsupported
		switch {
		case errors.As(err, &bad):
			assert.Len(t, bad.Mistakes, want, "%s: %v", name, voice.English.Error(err))
		case !errors.As(err, &other):
			assert.Fail(t, "not refused", name)
		}
	}
}

// unrefused are the files that are TOML, and that Read refuses but the schema
// cannot: why.
var unrefused = map[string]string{
	"marks-sum":              "no schema adds numbers up",
	"marks-shares":           "no schema compares two numbers of a file",
	"rx-too-strong":          "a sphere may be beyond 20 D with a plus cylinder, and the pattern does not transpose",
	"rx-two-eyes":            "the pattern knows no words",
	"rx-decimal-comma-mixed": "the pattern would be twice as long",
	"set-closes-first":       "no schema compares two values of a file",
}

// What the schema refuses Read refuses; and what Read refuses the schema does, as
// far as it can, in each draft that editors know.
func TestFaultyFilesAndTheSchema(t *testing.T) {
	names, files := faulty(t)
	for _, draft := range []string{"http://json-schema.org/draft-07/schema#", "https://json-schema.org/draft/2019-09/schema", "https://json-schema.org/draft/2020-12/schema"} {
		aCase, assignment := schemaOf(t, draft, cases.JSONSchema), schemaOf(t, draft, cases.AssignmentSchema)
		for _, name := range names {
			short := strings.TrimSuffix(name, ".toml")
			v, ok := anyValues(files[name])
			if !ok {
				continue
			}
			s := aCase
			if strings.HasPrefix(name, "set-") {
				s = assignment
			}
			err := readFaulty(name, files[name])
			refused := s.Validate(v) != nil
			_, cannot := unrefused[short]
			assert.Equal(t, err != nil && !cannot, refused, name)
			assert.False(t, cannot && err == nil, "%s is read: take it off the list", name)
		}
	}
	for name, why := range unrefused {
		assert.Contains(t, files, name+".toml")
		assert.NotEmpty(t, why, name)
	}
}

// schemaOf is a schema of ours for a validator that goes by a draft.
func schemaOf(t *testing.T, draft string, schema func(cases.Words) []byte) *jsonschema.Schema {
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(schema(voice.English.Say)))
	require.NoError(t, err)
	doc.(map[string]any)["$schema"] = draft
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("case.json", doc))
	s, err := c.Compile("case.json")
	require.NoError(t, err, draft)
	return s
}

// anyValues are the values of a file as an editor has them; it is false for what
// is no TOML.
func anyValues(data []byte) (any, bool) {
	var values map[string]any
	if toml.Unmarshal(bytes.TrimPrefix(data, []byte("\ufeff")), &values) != nil {
		return nil, false
	}
	inJSON, err := json.Marshal(values)
	if err != nil {
		return nil, false
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(inJSON))
	return v, err == nil
}

// Of very many mistakes the first fifty are told, and how many more there are: of lines
// that are no TOML, of keys and of sections that there are not. With fewer, what is missing
// is told too.
func TestVeryManyMistakes(t *testing.T) {
	const head, rest = "conoid = 2\ntitle = \"T\"\n", "[patient]\nage = 34\n[right]\nerror = \"-1.00\"\n"
	for what, line := range map[string]string{"no value": "b%d =\n", "no key": "b%d = 1\n", "no section": "[b%d]\n"} {
		for n, more := range map[int]int{49: 0, 50: 1, 2000: 1950} {
			text := head
			for i := range n {
				text += fmt.Sprintf(line, i)
			}
			_, err := cases.Read("long.toml", []byte(text+rest))
			var bad *cases.Malformed
			require.ErrorAs(t, err, &bad)
			assert.Len(t, bad.Mistakes, 50+min(more, 1), "%s, %d", what, n)
			last := bad.Mistakes[len(bad.Mistakes)-1]
			if more == 0 {
				assert.Equal(t, "case.missing", last.ID, what)
				continue
			}
			assert.Equal(t, map[int]int{1: 55, 1950: 53}[more], last.Line, what)
			assert.Contains(t, voice.English.Error(err), fmt.Sprintf("about %d mistakes more", more), what)
		}
	}
}
