package cases_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
	"conoid/cases"
	"conoid/render/voice"
)

// All mistakes of a file are told in one go, a line for each, in the words of a
// language.
func ExampleRead() {
	file := `conoid = 2
title = "The quay"
[patient]
age = 340
maner = "keen"
[right]
error = "-1.00 / -2.00 x 30"
objective = "-0.75 / -1.75 x 35"
`
	_, err := cases.Read("quay.toml", []byte(file))
	fmt.Println(voice.English.Error(err))

	var bad *cases.Malformed
	if errors.As(err, &bad) {
		fmt.Println(bad.Mistakes[0].ID, bad.Mistakes[0].Values["key"])
	}
	// Output:
	// quay.toml, line 4, column 7: patient.age is 340; allowed is 5 to 100 years
	// quay.toml, line 5, column 1: there is no key maner in [patient]; allowed are name, age, symptoms, manner, tested and spectacles-years; did you mean “manner”?
	// case.out-of-range patient.age
}

// What a case says to a student is there in more languages; the patient is the
// same.
func ExampleCase_Texts() {
	c, err := cases.Find("ferry-clerk")
	if err != nil {
		panic(err)
	}
	fmt.Println(c.Texts("en").Title)
	fmt.Println(c.Texts("de").Title)
	// Output:
	// The ferry clerk
	// Der Mann vom Fährschalter
}

// The words of each language make a template that is a case, and explain all of
// it: nothing is left of an ID.
func TestTheTemplateInEachLanguage(t *testing.T) {
	first := ""
	for _, language := range assets.Languages() {
		v := voice.In(language)
		file := string(cases.Template(v.Say))
		c, err := cases.Read("new.toml", []byte(file))
		require.NoError(t, err, file)
		assert.Empty(t, cases.Check(c), language)
		assert.NotRegexp(t, `case\.[a-z]|\{`, file, language)
		assert.NotRegexp(t, `(?m)^#.{80}`, file, "a comment is wider than 80 characters")
		if first == "" {
			first = c.Hash()
		}
		assert.Equal(t, first, c.Hash(), "the same patient in every language")

		var schema map[string]any
		require.NoError(t, json.Unmarshal(cases.JSONSchema(v.Say), &schema))
		explained := 0
		each(schema, func(text string) {
			explained++
			assert.NotRegexp(t, `^case\.`, text, language)
		})
		assert.Greater(t, explained, 50)
	}
	assert.Contains(t, string(cases.Template(voice.In("de").Say)), "# Der Pupillendurchmesser in mm, 2 bis 8.")
}

// each visits the descriptions in a JSON Schema.
func each(node any, visit func(string)) {
	object, _ := node.(map[string]any)
	for name, inner := range object {
		if text, is := inner.(string); is && name == "description" {
			visit(text)
		}
		each(inner, visit)
	}
}

// What a seal can refuse has words.
func TestUnopenedHasWords(t *testing.T) {
	for _, language := range assets.Languages() {
		for _, u := range []cases.Unopened{cases.ErrWrongKey, cases.ErrChanged} {
			assert.NotContains(t, voice.In(language).Error(u), "seal.", language)
		}
	}
}

// Whatever a case has as difficulties, languages and units has a word.
func TestNamesHaveWords(t *testing.T) {
	for _, language := range assets.Languages() {
		v := voice.In(language)
		for _, d := range []cases.Difficulty{
			cases.FaintCylinder, cases.LargeCylinder, cases.ObliqueAxis, cases.Accommodates, cases.SmallPupil, cases.Unreliable, cases.Misleading,
		} {
			assert.True(t, v.Has(d.Name()), "%s: %s", language, d.Name())
		}
	}
}

// Drawn people have their texts in each language as well, and men and women
// their words in German.
func TestDrawnPeopleSpeakGermanToo(t *testing.T) {
	women := []string{"Aldra", "Callis", "Hessa", "Jessamy", "Lorrin", "Mossa", "Sennet", "Tamsel", "Ulla", "Wyllow", "Yarra"}
	hers, his := 0, 0
	for seed := range uint64(300) {
		c := cases.Draw(seed, 0)
		de, en := c.Texts("de"), c.Texts("en")
		assert.NotEqual(t, en.Title, de.Title)
		assert.NotEqual(t, en.Story, de.Story)
		assert.NotEqual(t, en.Symptoms, de.Symptoms)
		assert.NotContains(t, de.Title+en.Title, "{")
		assert.True(t, strings.HasPrefix(de.Title, c.Name+", "), de.Title)
		if strings.Contains(de.Title, "Taucherin, ") {
			assert.Contains(t, women, c.Name)
			hers++
		}
		if strings.Contains(de.Title, "Taucher, ") {
			assert.NotContains(t, women, c.Name)
			his++
		}
	}
	assert.Positive(t, hers)
	assert.Positive(t, his)
}
