package main

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/cmd/internal/host"
	held "conoid/cmd/internal/host/room"
	"conoid/scoring/practical"
)

// The folder of a service is backed up, looked at, restored, and rid of a candidate.
func TestTheFolderOfAService(t *testing.T) {
	t.Chdir(t.TempDir())
	s, err := host.Open("served", time.Now)
	require.NoError(t, err)
	c := cases.Library()[0]
	x, err := s.Make(practical.Plan{Title: "Friday", Candidates: []string{"A7"}, Cases: []practical.Case{{ID: c.ID, Title: c.Title, Text: string(cases.Write(c))}}}, "AB", time.Time{})
	require.NoError(t, err)
	ticket, err := x.Ticket("A7", "AB", "", time.Now())
	require.NoError(t, err)
	code, said := tried("", "host", "backup", "all.zip", "--data", "served")
	assert.Zero(t, code, said)
	info, err := os.Stat("all.zip")
	require.NoError(t, err)
	assert.Zero(t, info.Mode().Perm()&0o077, "only its owner can read it")
	code, said = tried("", "host", "backup", "all.zip", "--data", "served")
	assert.Equal(t, 1, code, said)
	code, said = tried("", "host", "verify", "--data", "served")
	assert.Zero(t, code, said)
	assert.Contains(t, said, "1 practical, 1 candidate, 0 cases with 0 actions done again, 0 results, 2 notes.")
	erase := []string{"host", "erase", "a7", "--practical", x.Plan().ID, "--who", "AB", "--reason", "asked for it", "--data", "served"}
	code, said = tried("", append(erase, "--force")...)
	assert.Equal(t, 1, code, "the service runs")
	assert.Contains(t, said, "another program")
	code, said = tried("", erase...)
	assert.Equal(t, 1, code, "it is not closed: this is seen while the service runs")
	assert.Contains(t, said, "at this stage")
	_, err = x.Enter(ticket, "id")
	require.NoError(t, err)
	require.NoError(t, x.Admit("A7", "AB", time.Now()))
	require.NoError(t, x.Move(held.Opened, "AB", "", time.Now()))
	require.NoError(t, x.Move(held.Shut, "AB", "over", time.Now()))
	require.NoError(t, x.Ask(held.Erasable, "A7", "AB", "asked for it", time.Now()))
	require.NoError(t, s.Close())
	code, said = tried("", append(erase, "--force")...)
	assert.Equal(t, 1, code, "nobody has confirmed it")
	assert.Contains(t, said, "two people have to agree")
	s, err = host.Open("served", time.Now)
	require.NoError(t, err)
	x, err = s.Room(x.Plan().ID)
	require.NoError(t, err)
	require.NoError(t, x.Confirm(x.Requests()[0].N, "CD", time.Now()))
	point, err := s.Checkpoint(x)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("point.json", point, 0o600))
	code, said = tried("", erase...)
	assert.Zero(t, code, said)
	assert.Contains(t, said, "Nothing was done")
	assert.Regexp(t, `(?m)^[0-9a-f]{64}  record$`, said)
	require.NoError(t, s.Close())
	code, said = tried("", "host", "verify", "--data", "served", "--checkpoint", "point.json")
	assert.Zero(t, code, said)
	assert.Contains(t, said, "1 checkpoint agrees")
	code, said = tried("", "host", "verify", "all.zip", "--checkpoint", "point.json")
	assert.Equal(t, 1, code, said)
	assert.Contains(t, said, "Checkpoint point.json: it was made when there were 7 notes, and 2 are here")
	code, said = tried("", "host", "verify", "--data", "served", "--checkpoint", "none.json")
	assert.Equal(t, 1, code, said)
	assert.Contains(t, said, "none.json")
	code, said = tried("", append(erase, "--force")...)
	assert.Zero(t, code, said)
	assert.Contains(t, said, "Number A7 is erased")
	code, said = tried("", "host", "verify", "--data", "served", "--language", "de")
	assert.Zero(t, code, said)
	assert.Contains(t, said, "0 Prüflinge")
	again := filepath.Join("new", "again") // on a machine that has nothing yet
	code, said = tried("", "host", "restore", "all.zip", "--data", again)
	assert.Zero(t, code, said)
	assert.Contains(t, said, "conoid host verify --data "+again)
	code, said = tried("", "host", "verify", again)
	assert.Equal(t, 1, code, said)
	assert.Contains(t, said, "conoid host verify --data "+again)
	code, said = tried("", "host", "verify", "--data", again)
	assert.Zero(t, code, said)
	assert.Contains(t, said, "1 candidate")
}
