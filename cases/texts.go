package cases

import (
	"cmp"
	"maps"
	"slices"

	"conoid/sim/fact"
)

// Texts is what a case says to students. The name of a person is the same in
// every language.
type Texts struct{ Title, Story, Symptoms string }

// The most characters that texts may have.
const (
	mostTitle    = 80
	mostStory    = 2000
	mostSymptoms = 300
	mostAuthor   = 80
	mostTags     = 120
	mostNotes    = 4000
)

// languages are those that a file may be written in, and give its texts in besides, by
// their codes (ISO 639-1).
var languages = []string{"en", "de"}

// Texts is what the case says in a language. What it does not say in that
// language it says as its file does first.
func (c *Case) Texts(language string) Texts {
	t := c.Translations[language]
	return Texts{cmp.Or(t.Title, c.Title), cmp.Or(t.Story, c.Story), cmp.Or(t.Symptoms, c.Symptoms)}
}

// textsOf is the section of the texts in a language.
func textsOf(language string) string { return "texts." + language }

func textSections() []section {
	out := []section{{name: "texts", fine: true}}
	for _, l := range languages {
		out = append(out, section{name: textsOf(l), about: "texts", language: l, keys: []key{
			translated(l, "title", mostTitle, false, func(t *Texts) *string { return &t.Title }),
			translated(l, "story", mostStory, true, func(t *Texts) *string { return &t.Story }),
			translated(l, "symptoms", mostSymptoms, false, func(t *Texts) *string { return &t.Symptoms }),
		}})
	}
	return out
}

// translated is one text in another language.
func translated(language, name string, most int, lines bool, field func(*Texts) *string) key {
	return key{
		path: textsOf(language) + "." + name, about: "texts." + name, example: `"…"`, json: texts(most, lines), lines: lines,
		read: func(c *Case, e entry) *fault {
			v, f := e.free(most, lines)
			if f != nil || v == "" {
				return f
			}
			t := c.Translations[language]
			*field(&t) = v
			if c.Translations == nil {
				c.Translations = map[string]Texts{}
			}
			c.Translations[language] = t
			return nil
		},
		write: func(c *Case) (string, bool) {
			t := c.Translations[language]
			return toText(*field(&t)), *field(&t) != ""
		},
	}
}

// tongue is a language that a case has texts in.
type tongue string

// Name is the ID of the language's name.
func (t tongue) Name() string { return "case.language." + string(t) }

// checkTexts looks for texts that a language lacks though it has others.
func checkTexts(c *Case) (out []fact.Fact) {
	for _, l := range slices.Sorted(maps.Keys(c.Translations)) {
		t := c.Translations[l]
		var missing []string
		for _, k := range []struct{ name, own, other string }{
			{"title", c.Title, t.Title}, {"story", c.Story, t.Story}, {"symptoms", c.Symptoms, t.Symptoms},
		} {
			if k.own != "" && k.other == "" {
				missing = append(missing, k.name)
			}
		}
		if missing != nil {
			out = append(out, fact.New("case.mind.texts", "language", tongue(l), "section", textsOf(l), "missing", missing))
		}
	}
	return out
}
