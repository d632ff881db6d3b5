package fact

import (
	"encoding/json"
	"errors"
	"io/fs"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWithLeavesTheFactAsItWas(t *testing.T) {
	a := New("lens.far", "power", Power(-21))
	b := a.With("power", Power(1), "cell", "back")
	assert.Equal(t, map[string]any{"power": Power(-21)}, a.Values)
	assert.Equal(t, map[string]any{"power": Power(1), "cell": "back"}, b.Values)
	assert.Equal(t, a, a.With())
	assert.Panics(t, func() { New("lens.far", "power") })
}

func TestForProgrammers(t *testing.T) {
	assert.Equal(t, "lens.none", New("lens.none").String())
	assert.Equal(t, "lens.far (cell back, power -21)", New("lens.far", "power", Power(-21), "cell", "back").String())
	err := error(Because(fs.ErrNotExist, "file.unread", "file", "a.toml"))
	assert.EqualError(t, err, "file.unread (file a.toml): file does not exist")
	assert.ErrorIs(t, err, fs.ErrNotExist)
	var e *Error
	require.True(t, errors.As(err, &e))
	assert.Equal(t, "a.toml", e.Values["file"])
	assert.EqualError(t, Refuse("sitting.over"), "sitting.over")
}

func TestAsJSON(t *testing.T) {
	data, err := json.Marshal(New("lens.far", "power", Power(-21)))
	require.NoError(t, err)
	assert.JSONEq(t, `{"id":"lens.far","values":{"power":-21}}`, string(data))
}
