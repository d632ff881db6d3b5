package cases

import (
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// lessonWith is the assignment of the axis with a text replaced.
func lessonWith(old, new string) string { return strings.Replace(axis, old, new, 1) }

func TestTheSchemaOfAssignmentsAllowsWhatIsRight(t *testing.T) {
	s := validatorOf(t, AssignmentSchema(plainWords))
	for name, file := range map[string]string{
		"a set":                friday,
		"an assignment":        axis,
		"the template":         string(AssignmentTemplate(plainWords)),
		"the line for editors": "#:schema ./assignment.schema.json\n" + axis,
		"a day":                lessonWith("2030-01-07 08:00:00", "2030-01-07"),
		"an hour":              lessonWith("2030-01-07 08:00:00", `" 2030-01-07T8:00 "`),
		"within a folder":      lessonWith("mine.toml", "./deep/er/mine.conoid-case"),
		"an empty translation": lessonWith(`"Die Achse"`, `""`),
		"conduct":              axis + "[marking.conduct]\ncover = 3\n",
	} {
		a, err := ReadAssignment("a.toml", []byte(file))
		require.NoError(t, err, name)
		assert.NoError(t, allows(t, s, file), name)
		assert.NoError(t, allows(t, s, string(WriteAssignment(a, plainWords))), "%s, written", name)
	}
}

// Mistakes are made from the list of keys, so that a new key has its mistakes as well.
func TestTheSchemaOfAssignmentsAndReadRefuseTheSame(t *testing.T) {
	s := validatorOf(t, AssignmentSchema(plainWords))
	refused := func(file string) {
		_, err := ReadAssignment("a.toml", []byte(file))
		assert.Error(t, err, "Read: %s", file)
		assert.Error(t, allows(t, s, file), "schema: %s", file)
	}
	n := 0
	for _, k := range lessonKeys() {
		for _, value := range wrongValues(k.json) {
			refused(lessonSetTo(t, k.path, value))
			n++
		}
	}
	assert.Greater(t, n, 80)
	for _, k := range markingKeys() {
		refused(lessonSetTo(t, k.path, `"much"`))
	}
	for _, file := range []string{
		lessonWith("conoid-assignment = 1", ""),
		lessonWith("conoid-assignment = 1", "conoid-assignment = 2"),
		lessonWith(`title = "The axis"`, ""),
		lessonWith(`"The axis"`, `"  "`),
		lessonWith(`cases = ["ferry-clerk", "mine.toml"]`, ""),
		lessonWith("mine.toml", "ferry-clerk"),
		lessonWith("mine.toml", "/mine.toml"),
		lessonWith("mine.toml", "../mine.toml"),
		lessonWith("mine.toml", `deep\\mine.toml`),
		lessonWith("mine.toml", "ferry-clark"),
		lessonWith("2030-01-14", "14.1.2030"),
		lessonWith("2030-01-14", "2030-13-14"),
		lessonWith("2030-01-14", "2030-01-14 24:00"),
		lessonWith("attempts = 2", "attempts = 0"),
		lessonWith("attempts", "attemps"),
		lessonWith("[marking]", "[markings]"),
		lessonWith("[texts.de]", "[texts.xx]"),
		lessonWith("[texts.de]", "[texts.de]\nstory = \"x\""),
		lessonWith("[marking]", "[marking]\nnonsense = 1"),
		axis + "[marking.conduct]\nnonsense = 1\n",
	} {
		refused(file)
	}
}

// Nobody is told of a mistake that is none.
func TestTheSchemaOfAssignmentsRefusesNothingThatReadAllows(t *testing.T) {
	s := validatorOf(t, AssignmentSchema(plainWords))
	values := rapid.SampledFrom([]string{
		"0", "1", "2.5", "60", "true", "[]", "{}", `""`, `"a b"`, `"fog"`, `"led"`, `"all"`, `["fan", "fan"]`, `["which"]`, `["a.toml"]`, `["./a.toml", "b.conoid-case"]`,
		"2030-01-07", "2030-01-07 08:00:00", "2030-01-07T08:00:00.5", "2030-01-07T08:00:00Z", `"2030-01-07 8:01"`, `"2030-02-31"`,
	})
	var paths []string
	for _, k := range lessonKeys() {
		paths = append(paths, k.path)
	}
	rapid.Check(t, func(r *rapid.T) {
		file := lessonSetTo(t, rapid.SampledFrom(paths).Draw(r, "path"), values.Draw(r, "value"))
		if _, err := ReadAssignment("a.toml", []byte(file)); err == nil {
			assert.NoError(r, allows(r, s, file), file)
		}
	})
}

// lessonSetTo is the assignment of the axis with one key set to a value.
func lessonSetTo(t *testing.T, path, value string) string {
	var file, v map[string]any
	require.NoError(t, toml.Unmarshal([]byte(axis), &file))
	require.NoError(t, toml.Unmarshal([]byte("x = "+value), &v))
	at, parts := file, strings.Split(path, ".")
	for _, p := range parts[:len(parts)-1] {
		if at[p] == nil {
			at[p] = map[string]any{}
		}
		at = at[p].(map[string]any)
	}
	at[parts[len(parts)-1]] = v["x"]
	out, err := toml.Marshal(file)
	require.NoError(t, err)
	return string(out)
}
