package assets

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/sfnt"
)

// Each section, the words in braces that its phrases may hold, and the fewest
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
	"alike":    {"", 5},
	"blurred":  {"", 5},
	"unsure":   {"", 5},
	"changing": {"", 5},
	"limb":     {"", 5},
	"block":    {"", 5},
	"colour":   {"", 5},
	"change":   {"", 5},
	"read":     {"letters", 5},
	"ask":      {"", 1}, // a question is always put in the same words
	"lead":     {"answer", 1},
}

func TestPhrasesAreWellFormed(t *testing.T) {
	word := regexp.MustCompile(`\{(\w+)\}`)
	for _, key := range Keys() {
		section, _, _ := strings.Cut(key, ".")
		rule, known := sections[section]
		require.True(t, known, "section %q is not used by anything", section)

		ways := Ways(key)
		assert.GreaterOrEqual(t, len(ways), rule.fewest, key)
		seen := map[string]bool{}
		for _, w := range ways {
			assert.Equal(t, strings.TrimSpace(w), w, key)
			assert.NotEmpty(t, w, key)
			assert.False(t, seen[w], "%s says %q twice", key, w)
			seen[w] = true
			for _, m := range word.FindAllStringSubmatch(w, -1) {
				assert.Contains(t, strings.Fields(rule.words), m[1], "%s: %q", key, w)
			}
			assert.NotContains(t, word.ReplaceAllString(w, ""), "{", "%s: %q", key, w)
		}
	}
}

// Every way to say a thing must hold the same words in braces, or part of what
// the patient means would be lost with some variants.
func TestVariantsSayTheSame(t *testing.T) {
	word := regexp.MustCompile(`\{\w+\}`)
	for _, key := range Keys() {
		first := word.FindAllString(Ways(key)[0], -1)
		for _, w := range Ways(key) {
			assert.ElementsMatch(t, first, word.FindAllString(w, -1), "%s: %q", key, w)
		}
	}
}

func TestPhrase(t *testing.T) {
	ways := Ways("limb.left")
	for v := range uint32(20) {
		p, ok := Phrase("limb.left", v)
		require.True(t, ok)
		assert.Equal(t, ways[int(v)%len(ways)], p)
	}
	_, ok := Phrase("limb.up", 0)
	assert.False(t, ok)
	assert.Empty(t, Ways("limb.up"))
}

func TestFontHasTheSignsThatPicturesNeed(t *testing.T) {
	f, err := sfnt.Parse(Font)
	require.NoError(t, err)
	for _, r := range "0123456789+−′°×" {
		i, err := f.GlyphIndex(nil, r)
		require.NoError(t, err)
		assert.NotZero(t, i, "%q", r)
	}
}
