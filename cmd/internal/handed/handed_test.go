package handed

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadAndWrite(t *testing.T) {
	w := Work{Who: "17", Assignment: "a1", Title: "Week 1 <fog>", Logs: []string{"{\"conoid\":3}\n", "ä"}}
	got, err := Read("w", w.Write())
	require.NoError(t, err)
	assert.Equal(t, w, got)
	assert.True(t, Is(w.Write()))
	assert.False(t, Is([]byte(`{"conoid":3}`)))

	whole := string(w.Write())
	for name, text := range map[string]string{
		"cut off": whole[:len(whole)/2], "another version": strings.Replace(whole, ": 1,", ": 2,", 1), "a field more": strings.Replace(whole, `"who"`, `"more": 1, "who"`, 1),
		"nothing": "", "too large": whole + strings.Repeat(" ", most),
	} {
		_, err := Read("w", []byte(text))
		assert.Error(t, err, name)
	}
}

func TestANumberIsNoName(t *testing.T) {
	for _, good := range []string{"1", "17B", "2030-7", strings.Repeat("1", 12)} {
		assert.NoError(t, CheckWho(good), good)
	}
	for _, bad := range []string{"", "Tobren", "1 2", "ä1", strings.Repeat("1", 13), "1_2"} {
		assert.Error(t, CheckWho(bad), bad)
	}
	assert.Equal(t, "17B", Who(" 17b "))
}
