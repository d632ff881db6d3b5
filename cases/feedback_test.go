package cases

import (
	"bytes"
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/assets"
)

// The findings that a tutor can have a word on are those that have words of ours; that
// those are all that are made, package report tests.
func TestAllFindingsCanHaveAWord(t *testing.T) {
	var want []string
	what := regexp.MustCompile(`^finding\.([a-z-]+)\.what$`)
	for _, key := range assets.Keys(assets.English) {
		if m := what.FindStringSubmatch(key); m != nil {
			want = append(want, m[1])
		}
	}
	assert.ElementsMatch(t, want, findings)
}

func TestRemarks(t *testing.T) {
	c := mustRead(t, with("", "[feedback]\nfog-lost = \"a\"\nwrong-eye = \"b\"\n[feedback.de]\nfog-lost = \"c\"\nfan-missing = \"\""))
	assert.Equal(t, map[string]string{"": "a", "de": "c"}, c.Remarks("fog-lost"))
	assert.Equal(t, map[string]string{"": "b"}, c.Remarks("wrong-eye"))
	assert.Nil(t, c.Remarks("fan-missing"))
	_, err := Read("quay.toml", []byte(with("", "[feedback]\nfog-lots = \"a\"")))
	assert.Contains(t, told(t, err), "did-you-mean (word fog-lost)")
}

func TestTagged(t *testing.T) {
	assert.Equal(t, []string{"fog", "first term"}, (&Case{Tags: " fog,first term ,, fog"}).Tagged())
	assert.Empty(t, (&Case{}).Tagged())
}

// What is said to tutors alone reaches no sitter; what students read does.
func TestNotesAreSealedForAuthorsAlone(t *testing.T) {
	file := []byte(with("[patient]", "aims = \"SECRET aim\"\nnotes = \"SECRET note\"\n[patient]") + "[feedback]\nfog-lost = \"Said after it.\"\n")
	lock, sitter := keys(t)
	authors, author := keys(t)
	sealed, err := Seal("quay.toml", file, lock, authors)
	require.NoError(t, err)
	s, err := ReadSealed("quay", sealed)
	require.NoError(t, err)
	opened, err := s.Open(sitter)
	require.NoError(t, err)
	assert.NotContains(t, string(opened), "SECRET")
	assert.Contains(t, string(opened), "Said after it.")
	whole, err := s.OpenWhole(author)
	require.NoError(t, err)
	assert.Equal(t, 2, bytes.Count(whole, []byte("SECRET")))
	assert.True(t, slices.Equal(file, whole))
}
