package opens_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/opens"
	"conoid/render/voice"
	"conoid/scoring/practical"
)

func TestWhatCanBeBroughtToTheBench(t *testing.T) {
	assert.NoError(t, opens.Check("a.toml", cases.Template(voice.English.Say)))
	lock, err := cases.LockWith("three grey lanterns")
	require.NoError(t, err)
	sealed, err := cases.Seal("a.toml", cases.Template(voice.English.Say), lock, lock)
	require.NoError(t, err)
	assert.NoError(t, opens.Check("a"+cases.SealedEnding, sealed))
	keys, err := practical.NewKeys()
	require.NoError(t, err)
	plan, err := practical.New(practical.Plan{Title: "Friday", Cases: []practical.Case{{ID: "a", Title: "A", Text: string(cases.Template(voice.English.Say))}}}, keys)
	require.NoError(t, err)
	file, err := plan.Seal(keys, "three grey lanterns")
	require.NoError(t, err)
	assert.NoError(t, opens.Check("a"+practical.Ending, file))
	for _, data := range [][]byte{nil, []byte("title = 1"), sealed[:len(sealed)/2], file[:len(file)/2]} {
		assert.Error(t, opens.Check("wrong", data))
	}
	assert.True(t, opens.IsFile("friday"+practical.Ending))
	assert.True(t, opens.IsFile("a"+cases.SealedEnding))
	assert.False(t, opens.IsFile("net-mender"))
}
