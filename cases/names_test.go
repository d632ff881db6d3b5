package cases

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/assets"
)

// The texts can be given in every language that the program speaks.
func TestLanguages(t *testing.T) {
	all := append([]string{assets.English}, languages...)
	assert.ElementsMatch(t, all, assets.Languages())
	for _, l := range assets.Languages() {
		for _, u := range []unit{years, metres, millimetres, micrometres, dioptres, points, percent, times, timesPar} {
			assert.NotEmpty(t, assets.Words(l, u.Name()), "%s: %s", l, u.Name())
		}
		for _, other := range languages {
			assert.NotEmpty(t, assets.Words(l, tongue(other).Name()), l)
		}
	}
}

// Every key and section of the file that a tutor sees has an explanation in each
// language.
func TestEveryKeyIsExplained(t *testing.T) {
	for _, l := range assets.Languages() {
		for _, s := range schema() {
			if s.about != "" {
				assert.NotEmpty(t, assets.Words(l, s.explained().ID), "%s: %s", l, s.name)
			}
			for _, k := range s.keys {
				if k.about == "" {
					assert.True(t, s.fine, "%s has no explanation", k.path)
					continue
				}
				assert.NotEmpty(t, assets.Words(l, k.explained().ID), "%s: %s", l, k.path)
			}
		}
	}
}

func TestTexts(t *testing.T) {
	c := mustRead(t, with("title", "story = \"S\"\ntitle")+"[texts.de]\ntitle = \"Z\"\nsymptoms = \" \"\n")
	assert.Equal(t, map[string]Texts{"de": {Title: "Z"}}, c.Translations)
	assert.Equal(t, Texts{"Z", "S", ""}, c.Texts("de"), "what a language lacks is as in the file")
	assert.Equal(t, Texts{"T", "S", ""}, c.Texts("en"))
	assert.Equal(t, c.Texts("en"), c.Texts("xx"))
	assert.Equal(t, c, mustRead(t, string(Write(c))))
	assert.Nil(t, mustRead(t, with("", "[texts.de]\ntitle = \"\"\n")).Translations, "an empty text is none")
	assert.Equal(t, mustRead(t, plain).Hash(), c.Hash(), "a translation more is the same patient")
	assert.True(t, slices.IsSorted(languages))
}
