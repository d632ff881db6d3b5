package cases

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// allPatterns are the patterns in a JSON Schema.
func allPatterns(node any) (out []string) {
	switch n := node.(type) {
	case map[string]any:
		for key, inner := range n {
			if p, is := inner.(string); is && key == "pattern" {
				out = append(out, p)
			}
			out = append(out, allPatterns(inner)...)
		}
	case []rule:
		for _, inner := range n {
			out = append(out, allPatterns(inner)...)
		}
	}
	return out
}

// common is one sign of a pattern, or a set of characters, in what ECMA-262 (with
// and without its flags u and v), RE2, PCRE, Python, Java and .NET have in common:
// from memory, but for ECMA-262 and Python, which were tried. In a set no sign has
// to be escaped, so that there is none of them in it but a dash between two others.
const common = `[^\\\[\](){}?*+|^$./]|\\x[0-9a-f]{2}|\[\^?(?:(?:[^\\\[\](){}|/-]|\\x[0-9a-f]{2})(?:-(?:[^\\\[\](){}|/-]|\\x[0-9a-f]{2}))?|[.*+])+\]|[()|/]|[*+?]|\{[0-9](?:,[0-9])?\}|^\^|\$$`

var (
	commonPattern = regexp.MustCompile(`^(?:` + common + `)*$`)
	notCommon     = regexp.MustCompile(`\(\?|[*+?}][*+?{]`) // groups with a flag or a name; lazy or possessive signs
)

func isCommon(pattern string) bool {
	inSets := regexp.MustCompile(`\[[^\]]*\]`).ReplaceAllString(pattern, "x")
	return commonPattern.MatchString(pattern) && !notCommon.MatchString(inSets)
}

func TestPatternsAreForAllValidators(t *testing.T) {
	n := 0
	for _, s := range schema() {
		for _, k := range s.keys {
			for _, p := range allPatterns(k.json) {
				n++
				assert.True(t, isCommon(p), "%s: %s", k.path, p)
				assert.Less(t, len(p), 500, "%s: editors show it", k.path)
			}
		}
	}
	assert.Greater(t, n, 10)
	for _, p := range []string{`\d`, `\pL`, `\p{L}`, `(?i)a`, `(?:a)`, `a\z`, `\Aa`, `a*?`, `a++`, `[[:alpha:]]`, `[\d]`, `[a[b]]`, `[a-]`, `[-a]`, `[a|b]`, `\-`, `\/`, `\Qa\E`, `\u00a0`, `\x{a0}`, `a{1,2}+`, `a.b`, `a$b`, `b^a`, `(?<n>a)`, `a(?=b)`} {
		assert.False(t, isCommon(p), p)
	}
	for _, p := range []string{`^a$`, `[^\x00-\x1f]`, `(a|b)*`, `a{1,2}`, `[.]`, `a/b`, `[+*]`} {
		assert.True(t, isCommon(p), p)
	}
}

// each is all texts that can be put together from pieces, one of each.
func each(pieces [][]string, visit func(string)) {
	if len(pieces) == 0 {
		visit("")
		return
	}
	each(pieces[1:], func(rest string) {
		for _, p := range pieces[0] {
			visit(p + rest)
		}
	})
}

// Whatever is read as a prescription or an acuity the patterns take, too.
func TestPatternsTakeWhatIsRead(t *testing.T) {
	taken := map[string]int{}
	for path, pieces := range map[string][][]string{
		"right.error": {
			{"", "Sph "}, {"-1.75", "1,50", "+.50", "plano", "Pl", "∞", "0", "− 12.25", "–01"}, {"", " DS"}, {"", " ", " / ", "\u00a0"},
			{"", "-0.50", "−0,5", "+ 1 DC", "zyl −.50", "0.00", "pl"}, {"", " ", "x", " × ", "*", "@", " Achse", "/"}, {"", "35", "180", "0", "181", " 180.5", " 22,5", "005", "1°"},
		},
		"right.unaided": {
			{"", " ", "+", "−"}, {"", "6", "5", "20", "4"}, {"", "/", " / ", "\u00a0"}, {"", "6", "9.5", "0,8", ".63", "60"}, {"", " "}, {"", "-1", "+ 2", "p", "P", "log MAR", "LogMAR"},
		},
	} {
		k, ok := keyAt(path)
		require.True(t, ok)
		pattern, c := regexp.MustCompile(k.json["pattern"].(string)), blank("")
		each(pieces, func(text string) {
			if k.read(c, entry{kind: isText, text: text}) == nil {
				taken[path]++
				assert.True(t, pattern.MatchString(text), "%q", text)
			}
		})
	}
	assert.Greater(t, taken["right.error"], 1000)
	assert.Greater(t, taken["right.unaided"], 100)
}
