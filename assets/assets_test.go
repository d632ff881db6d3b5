package assets

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/sfnt"
)

// Each section of what is said, the words in braces that its phrases may hold, and the fewest
// ways to say one thing.
var sections = map[string]struct {
	words  string
	fewest int
}{
	"lines":    {"it they", 5},
	"answer":   {"answer", 1},
	"number":   {"a b", 5},
	"hour":     {"a b", 5},
	"bare":     {"a b", 5},
	"time":     {"a b", 1}, // the full hour has one name
	"hours":    {"", 12},   // from twelve on
	"alike":    {"", 5},
	"blurred":  {"", 5},
	"unsure":   {"", 5},
	"changing": {"", 5},
	"again":    {"", 5},
	"waver":    {"first then", 5},
	"limb":     {"", 5},
	"block":    {"", 5},
	"colour":   {"", 5},
	"change":   {"", 5},
	"read":     {"letters", 5},
	"ask":      {"", 1}, // a question is always put in the same words
	"lead":     {"answer", 1},
}

func TestPhrasesAreWellFormed(t *testing.T) {
	for _, language := range Languages() {
		for _, key := range Keys(language) {
			rest, said := strings.CutPrefix(key, "say.")
			if !said {
				continue
			}
			section, _, _ := strings.Cut(rest, ".")
			rule, known := sections[section]
			require.True(t, known, "section %q is not used by anything", section)
			checkWays(t, language+" "+key, Words(language, key), rule.words, rule.fewest)
		}
	}
}

var word = regexp.MustCompile(`\{(\w+)\}`)

// checkWays checks the ways to say one thing: the same words to fill in, and
// no others than are known.
func checkWays(t *testing.T, key string, ways []string, words string, fewest int) {
	t.Helper()
	assert.GreaterOrEqual(t, len(ways), fewest, key)
	seen := map[string]bool{}
	for _, w := range ways {
		assert.Equal(t, strings.TrimSpace(w), w, key)
		assert.NotEmpty(t, w, key)
		assert.False(t, seen[w], "%s says %q twice", key, w)
		seen[w] = true
		for _, m := range word.FindAllStringSubmatch(w, -1) {
			assert.Contains(t, strings.Fields(words), m[1], "%s: %q", key, w)
		}
		assert.NotContains(t, word.ReplaceAllString(w, ""), "{", "%s: %q", key, w)
		assert.ElementsMatch(t, word.FindAllString(ways[0], -1), word.FindAllString(w, -1), "%s: %q", key, w)
	}
}

// words are the keys of a language without the forms of words, of which each
// language has its own.
func words(language string) []string {
	return slices.DeleteFunc(Keys(language), func(key string) bool { return strings.Contains(key, "/") })
}

// Every language says everything: the same keys.
func TestLanguagesAreComplete(t *testing.T) {
	assert.Equal(t, English, Languages()[0])
	for _, language := range Languages() {
		assert.Equal(t, words(English), words(language), language)
	}
}

func TestWords(t *testing.T) {
	assert.Greater(t, len(Words(English, "say.limb.left")), 1)
	assert.Equal(t, []string{"{row}{letters}"}, Words(English, "acuity.letters"))
	assert.Empty(t, Words(English, "say.limb.up"))
	assert.Empty(t, Words("xx", "say.limb.left"))
}

func TestFontHasTheSignsThatPicturesNeed(t *testing.T) {
	f, err := sfnt.Parse(Font())
	require.NoError(t, err)
	for _, r := range "0123456789+−′°×" {
		i, err := f.GlyphIndex(nil, r)
		require.NoError(t, err)
		assert.NotZero(t, i, "%q", r)
	}
}
