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
		r, err := Open(&f, c.system)
		require.NoError(t, err)
		assert.Equal(t, c.want, r.Language(), "%s on a system in %q", c.kept, c.system)
	}
}

func TestSettingsAreKeptWithinTheirRanges(t *testing.T) {
	var f file
	r, err := Open(&f, "en")
	require.NoError(t, err)
	s := r.Now()
	s.TextSize, s.Viewing, s.Curtain, s.Card, s.Dark = 500, 1, 7, 5000, true
	r.Try(s)
	assert.Nil(t, f, "tried is not kept")
	require.NoError(t, r.Change(s))
	again, err := Open(&f, "en")
	require.NoError(t, err)
	assert.Equal(t, Settings{TextSize: 200, Viewing: 20, Curtain: 1, Dark: true}, again.Now())
}

func TestSettingsThatCannotBeReadAreTheUsualOnes(t *testing.T) {
	f := file("{")
	r, err := Open(&f, "en")
	assert.Error(t, err)
	assert.False(t, errors.Is(err, fs.ErrNotExist))
	assert.Equal(t, usual(), r.Now())
}
