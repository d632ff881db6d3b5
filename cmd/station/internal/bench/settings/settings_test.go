package settings

import (
	"errors"
	"io/fs"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// file is a store with one file.
type file []byte

func (f file) Read(string) ([]byte, error) {
	if f == nil {
		return nil, fs.ErrNotExist
	}
	return f, nil
}

func (f *file) Replace(_ string, data []byte) error {
	*f = data
	return nil
}

func TestTheLanguageIsTheUsersOrElseTheSystems(t *testing.T) {
	for _, c := range []struct{ kept, system, want string }{
		{``, "de", "de"},
		{``, "", ""},
		{`{"language":"en"}`, "de", "en"},
		{`{"language":"xx"}`, "de", "de"},
		{`{"textSize":150}`, "de", "de"},
	} {
		var f file
		if c.kept != "" {
			f = file(c.kept)
		}
		r, err := Open(&f, System{Language: c.system})
		require.NoError(t, err)
		assert.Equal(t, c.want, r.Language(), "%s on a system in %q", c.kept, c.system)
	}
}

func TestSettingsAreKeptWithinTheirRanges(t *testing.T) {
	var f file
	r, err := Open(&f, System{Language: "en"})
	require.NoError(t, err)
	s := r.Now()
	s.TextSize, s.Viewing, s.Curtain, s.Card, s.Dark = 500, 1, 7, 5000, true
	r.Try(s)
	assert.Nil(t, f, "tried is not kept")
	require.NoError(t, r.Change(s))
	again, err := Open(&f, System{Language: "en"})
	require.NoError(t, err)
	assert.Equal(t, Settings{TextSize: 200, Viewing: 20, Curtain: 1, Dark: true, Predict: true}, again.Now())
}

func TestSettingsThatCannotBeReadAreTheUsualOnes(t *testing.T) {
	f := file("{")
	r, err := Open(&f, System{Language: "en"})
	assert.Error(t, err)
	assert.False(t, errors.Is(err, fs.ErrNotExist))
	assert.Equal(t, usual(), r.Now())
}

// What the browser or the system is set to goes until the user has chosen, and then
// the choice, whatever the system is set to later.
func TestColoursAndMotionAreTheSystemsUntilTheUserChooses(t *testing.T) {
	var f file
	night := System{Dark: true, Still: true}
	r, err := Open(&f, night)
	require.NoError(t, err)
	assert.True(t, r.Now().Dark)
	assert.True(t, r.Now().Still)

	s := r.Now()
	s.TextSize = 150
	require.NoError(t, r.Change(s))
	r, err = Open(&f, System{})
	require.NoError(t, err)
	assert.False(t, r.Now().Dark, "another setting chooses no colours")
	assert.False(t, r.Now().Still)
	assert.Equal(t, 150, r.Now().TextSize)

	r, err = Open(&f, night)
	require.NoError(t, err)
	s = r.Now()
	s.Dark = false
	require.NoError(t, r.Change(s))
	r, err = Open(&f, night)
	require.NoError(t, err)
	assert.False(t, r.Now().Dark, "the user has chosen")
	assert.True(t, r.Now().Still)

	r.Forget()
	assert.True(t, r.Now().Dark)
	require.NoError(t, r.Change(r.Now()))
	r, err = Open(&f, System{})
	require.NoError(t, err)
	assert.False(t, r.Now().Dark, "the choice is forgotten")

	f = file(`{"dark":true,"still":false}`)
	r, err = Open(&f, System{Still: true})
	require.NoError(t, err)
	assert.True(t, r.Now().Dark)
	assert.False(t, r.Now().Still)
}
