package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/render/voice"
	"conoid/sim/fact"
)

func TestWeakPassphrasesAreRefused(t *testing.T) {
	weak := fact.Refuse("seal.weak")
	for passphrase, want := range map[string]error{
		"gulls":                  fact.Refuse("seal.short", "n", fact.Count(5), "least", fact.Count(8)),
		"lighthouse":             weak,
		"password12345":          weak,
		"qwertzuiop":             weak,
		"Leuchtturm":             weak, // one word of a language that the estimate does not know
		"kT7#mq2Lx9":             weak, // ten characters at random: ten thousand million guesses
		"kT7#mq2Lx9v":            nil,
		"the tide at the quay":   weak, // the title
		"nine grey gulls":        nil,
		"neun graue Möwen":       nil,
		" nine grey gulls \n":    nil,
		strings.Repeat("a", 200): weak,
		strings.Repeat("a", 100) + " nine grey gulls": weak, // no more is looked at
	} {
		got := checkStrength(passphrase, "The tide at the quay")
		if want == nil {
			assert.NoError(t, got, passphrase)
			continue
		}
		assert.Equal(t, want, got, passphrase)
	}
	assert.NoError(t, checkStrength("lamp herring at the quay", "Another title"))
}

func TestRecipientsOfAFlag(t *testing.T) {
	t.Chdir(t.TempDir())
	a := strings.TrimSpace(conoid(t, "case", "keys", "--out", "a.key"))
	b := strings.TrimSpace(conoid(t, "case", "keys", "--out", "b.key"))
	assert.NoError(t, os.WriteFile("friday.txt", []byte("# Friday\n"+b+"\n"), 0o644))
	got, err := recipientsOf("--for", []string{a, "friday.txt"})
	assert.NoError(t, err)
	assert.Equal(t, []string{a, b}, got)
	_, err = recipientsOf("--for", []string{"a.key"})
	assert.ErrorContains(t, err, "seal.secret-half", "the file of a key is no list of recipients")
	assert.NotContains(t, err.Error(), "SECRET")
}

// A system that says no place for settings is told so, and nothing is made.
func TestAnAuthorNeedsAPlaceForTheKey(t *testing.T) {
	for _, name := range []string{"XDG_CONFIG_HOME", "HOME", "AppData", "home"} {
		t.Setenv(name, "")
	}
	assert.Empty(t, authorFile())
	_, err := authorKey(voice.English, nil)
	assert.Equal(t, fact.Refuse("seal.no-place"), err)

	blocked := filepath.Join(t.TempDir(), "file")
	assert.NoError(t, os.WriteFile(blocked, nil, 0o644))
	_, err = authorKey(voice.English, nil)
	assert.Error(t, err)
	err = makeAuthorKey(voice.English, nil, filepath.Join(blocked, "conoid", "author.key"))
	assert.Equal(t, fact.Refuse("seal.no-own-folder", "folder", filepath.Join(blocked, "conoid")), err)
}
