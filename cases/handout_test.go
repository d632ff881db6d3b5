package cases

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const two = `conoid-assignment = 1
title = "Two"
cases = ["ferry-clerk", "deep/mine.toml"]
`

func packed(t testing.TB) *Handout {
	h, err := Pack("two.toml", []byte(two), func(l Listed) ([]byte, error) {
		assert.Equal(t, "deep/mine.toml", l.File)
		return []byte(plain), nil
	})
	require.NoError(t, err)
	return h
}

func TestPack(t *testing.T) {
	h := packed(t)
	require.Len(t, h.Enclosed, 2)
	assert.Equal(t, "ferry-clerk.toml", h.Enclosed[0].Name)
	assert.Equal(t, Enclosed{"mine.toml", plain}, h.Enclosed[1])
	assert.True(t, IsHandout(h.Write()))
	assert.False(t, IsHandout([]byte(two)))
	got, err := ReadHandout("two", h.Write())
	require.NoError(t, err)
	assert.Equal(t, h, got)
	assert.Len(t, h.ID, 32)
	other := strings.Replace(two, "Two", "Three", 1)
	o, err := Pack("two.toml", []byte(other), func(Listed) ([]byte, error) { return []byte(plain), nil })
	require.NoError(t, err)
	assert.NotEqual(t, h.ID, o.ID)
}

// All that is wrong with the cases is told at once, at the places that name them.
func TestPackTellsAllThatIsWrong(t *testing.T) {
	list := strings.Replace(two, "ferry-clerk", "other.toml", 1)
	_, err := Pack("two.toml", []byte(list), func(l Listed) ([]byte, error) {
		if l.File == "other.toml" {
			return nil, os.ErrNotExist
		}
		return []byte("conoid = 2\n"), nil
	})
	require.ErrorIs(t, err, os.ErrNotExist)
	var bad *Malformed
	require.ErrorAs(t, err, &bad)
	assert.Equal(t, "mine.toml", bad.File)
}

func TestADamagedHandoutIsRefused(t *testing.T) {
	whole := string(packed(t).Write())
	for name, text := range map[string]string{
		"cut off":      whole[:len(whole)/2],
		"a case less":  whole[:strings.Index(whole, "  {\n   \"name\": \"mine.toml\"")-2] + "\n ]\n}\n",
		"another name": strings.Replace(whole, `"name": "mine.toml"`, `"name": "yours.toml"`, 1),
		"a field more": strings.Replace(whole, `"cases"`, `"more": 1, "cases"`, 1),
		"a version":    strings.Replace(whole, `"conoid-handout": 1`, `"conoid-handout": 2`, 1),
		"a bad case":   strings.Replace(whole, "ferry-clerk.toml\",\n   \"text\": \"", "ferry-clerk.toml\",\n   \"text\": \"!", 1),
		"none":         "{}",
		"too large":    whole + strings.Repeat(" ", mostHandout),
	} {
		_, err := ReadHandout("two", []byte(text))
		assert.Error(t, err, name)
	}
}

func FuzzReadHandout(f *testing.F) {
	f.Add(packed(f).Write())
	f.Fuzz(func(t *testing.T, data []byte) {
		if h, err := ReadHandout("two", data); err == nil {
			again, err := ReadHandout("two", h.Write())
			require.NoError(t, err)
			assert.Equal(t, h, again)
		}
	})
}
