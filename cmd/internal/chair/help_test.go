package chair_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/chair"
)

// Notes of an older bench knew one help, as yes or no; they still go on.
func TestHelpIsReadAsItWasWritten(t *testing.T) {
	for text, want := range map[string]chair.Help{
		`{}`: chair.Alone, `{"guided":true}`: chair.Led, `{"guided":false}`: chair.Alone, `{"guided":"led"}`: chair.Led, `{"guided":"cues"}`: chair.Cues,
	} {
		var n chair.Notes
		require.NoError(t, json.Unmarshal([]byte(text), &n), text)
		assert.Equal(t, want, n.Help, text)
		data, err := json.Marshal(n)
		require.NoError(t, err)
		var again chair.Notes
		require.NoError(t, json.Unmarshal(data, &again))
		assert.Equal(t, n, again)
	}
	for _, text := range []string{`{"guided":"much"}`, `{"guided":7}`} {
		var n chair.Notes
		assert.Error(t, json.Unmarshal([]byte(text), &n), text)
	}
}
