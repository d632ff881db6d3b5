package cases

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/assets"
	"conoid/render/voice"
)

// The texts can be given in every language that the program speaks.
func TestLanguages(t *testing.T) {
	assert.ElementsMatch(t, languages, assets.Languages())
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
}

// A file in German can have its texts in English besides, as one in English has them in German;
// what is left out stands there as in the file.
func TestAGermanFileHasEnglishTexts(t *testing.T) {
	c := mustRead(t, with("title", "language = \"de\"\nstory = \"S\"\ntitle")+"[texts.en]\ntitle = \"E\"\n[feedback]\ndial-missing = \"D\"\n[feedback.en]\ndial-missing = \"F\"\n")
	assert.Equal(t, Texts{"E", "S", ""}, c.Texts("en"))
	assert.Equal(t, Texts{"T", "S", ""}, c.Texts("de"))
	assert.Equal(t, map[string]string{"": "D", "en": "F"}, c.Remarks("dial-missing"))
	assert.Equal(t, c, mustRead(t, string(Write(c))))
	assert.Equal(t, mustRead(t, plain).Hash(), c.Hash())
	assert.Empty(t, checkLanguage(c))
	assert.Equal(t, []string{"case.mind.texts (language en, missing [story], section texts.en)"}, listed(checkTexts(c)))
}

// A new file says what language it is in, and offers texts in each other one, and none in its own.
func TestANewFileOffersOtherLanguages(t *testing.T) {
	for _, own := range languages {
		file := string(Template(voice.In(own).Say))
		assert.Equal(t, own, mustRead(t, file).Language)
		for _, l := range languages {
			assert.Equal(t, l != own, strings.Contains(file, "\n["+textsOf(l)+"]\n"), "%s in %s", l, own)
			assert.Equal(t, l != own, strings.Contains(file, "\n# [feedback."+l+"]\n"), "%s in %s", l, own)
		}
	}
}
