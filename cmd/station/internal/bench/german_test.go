package bench

import (
	"regexp"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"

	"conoid/assets"
	"conoid/cases"
	"conoid/cmd/station/internal/bench/result"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/ui"
)

// wordsIn are the words of a text, without figures, signs, and rows of letters.
func wordsIn(text string) (out []string) {
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && r != '’' }) {
		if strings.ToUpper(w) != w {
			out = append(out, strings.ToLower(w))
		}
	}
	return out
}

// german is every word that is used to say something in German.
func german() map[string]bool {
	place := regexp.MustCompile(`\{([a-z_]+)(/[a-z]+)?(:|\})`)
	out := map[string]bool{}
	for _, key := range assets.Keys("de") {
		for _, way := range assets.Words("de", key) {
			for _, w := range wordsIn(place.ReplaceAllString(way, " ")) {
				out[w] = true
			}
		}
	}
	return out
}

// english are words that only English has.
var english = regexp.MustCompile(`(?i)\b(the|of|is|are|were|has|have|with|without|this|that|which|what|and|or|not|no|yes|to|from|at|on|by|for|you|your|it|its|out|off|left|right|lens|lenses|eye|eyes|line|lines|step|steps|sphere|cylinder|axis|acuity|plano|clearer|clearest|alike|arrow|fog)\b`)

// spokenGerman checks that a text is German: every word of it is one that is
// used to say something in German or is known by itself, and none is English.
func spokenGerman(t *testing.T, known map[string]bool, where, text string) {
	t.Helper()
	for _, w := range wordsIn(text) {
		assert.True(t, known[w], "%s: %q: no German words have %q", where, text, w)
	}
	if !proper[text] {
		assert.Empty(t, english.FindAllString(text, -1), "%s: %q is English", where, text)
	}
}

// proper are names that are the same in every language.
var proper = map[string]bool{"Conoid": true, "English": true}

// itself are the words that stand for themselves: letters that are read, keys,
// the names of languages, of patients and of files.
func itself(known map[string]bool) {
	for _, w := range wordsIn("Conoid English logMAR toml") {
		known[w] = true
	}
	for r := 'a'; r <= 'z'; r++ {
		known[string(r)] = true
	}
	for _, c := range cases.Library() {
		texts := c.Texts("de")
		for _, text := range []string{c.Name, texts.Title, texts.Story, texts.Symptoms} {
			for _, w := range wordsIn(text) {
				known[w] = true
			}
		}
	}
}

// A whole case at the bench in German, led by the guide to the end point, with
// all that stands around it: nothing is said in English.
func TestAWholeCaseInGerman(t *testing.T) {
	long(t)
	m := newMemory()
	m.files[settings.File] = []byte(`{"textSize":100,"curtain":0.5,"language":"de"}`)
	h := newHands(t, 1366, 768, Options{Store: m, Save: func(name string, _ []byte) (string, error) { return name, nil }})
	known := german()
	itself(known)
	see := func(where string) {
		for _, th := range h.a.desk.UI.Things() {
			spokenGerman(t, known, where, th.Label)
			if th.Role == ui.RoleText || th.Role == ui.RoleImage {
				spokenGerman(t, known, where, th.Value)
			}
		}
	}
	tour(h, see)
	assert.Equal(t, "de", h.a.Status().Language)

	h = newHands(t, 1366, 768, Options{Store: m, Seed: func() uint64 { return 5 }})
	h.press("guided")
	h.guided(func(id string) {
		see("guided")
		if id == "just ask" { // say what is expected instead, whichever way there is
			for _, id = range []string{"expect", "expect alike", "expect same"} {
				if th, there := h.look(id); there && !th.Disabled {
					break
				}
			}
		}
		h.press(id)
	})
	on[*result.Screen](h)
	see("result")
	assert.Contains(t, h.labels(), "dpt")
	assert.Contains(t, h.labels(), "sph ")
	assert.Contains(t, h.labels(), "Visus: notiert als ")
}
