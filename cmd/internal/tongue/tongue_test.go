package tongue

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The names of locales are those of POSIX (language_territory.codeset@modifier)
// and BCP 47.
func TestTheLanguageThatIsSpoken(t *testing.T) {
	for name, want := range map[string]string{
		"de": "de", "de_DE.UTF-8": "de", "de_AT@euro": "de", "de-CH": "de", "en_GB.UTF-8": "en", "en": "en",
		"C": "en", "C.UTF-8": "en", "POSIX": "en", "fr_FR.UTF-8": "", "nds": "", "?": "", "": "",
	} {
		code, ok := Of(name)
		assert.Equal(t, want != "", ok, name)
		if ok {
			assert.Equal(t, want, code, name)
		}
	}
}

func TestTheStrongestVariableNamesTheLanguage(t *testing.T) {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		t.Setenv(name, "")
	}
	assert.Empty(t, environment())
	for _, name := range []string{"LANG", "LC_MESSAGES", "LC_ALL"} {
		t.Setenv(name, name)
		assert.Equal(t, []string{name}, environment())
	}
}

// Who is asked for a language that is not there gets English, whatever else
// they speak: nothing is guessed.
func TestTheFirstLanguage(t *testing.T) {
	assert.Equal(t, "de", First([]string{"de-AT", "en"}))
	assert.Equal(t, "en", First([]string{"fr", "de"}))
	assert.Equal(t, "en", First(nil))
}
