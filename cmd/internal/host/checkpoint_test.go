package host_test

import (
	"bytes"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host"
	"conoid/cmd/internal/host/room"
)

// rewritten are notes with another reason in line n, in a chain that holds.
func rewritten(t *testing.T, lines [][]byte, n int) (all [][]byte) {
	before := ""
	for i, line := range lines {
		var note room.Note
		require.NoError(t, json.Unmarshal(line, &note))
		if note.Before = before; i == n-1 {
			note.Reason = "another one"
		}
		text, err := json.Marshal(note)
		require.NoError(t, err)
		sum := sha256.Sum256(text)
		before, all = hex.EncodeToString(sum[:]), append(all, text)
	}
	_, err := room.ReadNotes(all)
	require.NoError(t, err)
	return all
}

// A checkpoint that was kept elsewhere shows notes that were written anew, though their
// chain holds, and notes whose end was cut off. Those that go on agree with it.
func TestCheckpointsShowWhatWasRewritten(t *testing.T) {
	if testing.Short() {
		t.Skip("it looks at a folder a dozen times")
	}
	folder, s, x := held(t)
	first, err := s.Checkpoint(x)
	require.NoError(t, err)
	require.NoError(t, x.Move(room.Shut, "AB", "the time is over", morning))
	last, err := s.Checkpoint(x)
	require.NoError(t, err)
	lines, err := x.Notes()
	require.NoError(t, err)
	other, s2, x2 := held(t)
	theirs, err := s2.Checkpoint(x2)
	require.NoError(t, err)
	_, err = s.Checkpoint(x2)
	assert.Error(t, err, "another service’s keys")
	require.NoError(t, s2.Close())
	require.NoError(t, s.Close())

	path := filepath.Join(folder, "host.db")
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	verify := func(query string, points ...[]byte) *host.Findings {
		require.NoError(t, os.WriteFile(path, whole, 0o600))
		db, err := sql.Open("sqlite", path)
		require.NoError(t, err)
		_, err = db.Exec("DROP TRIGGER note_stays; DROP TRIGGER note_is_kept; " + query)
		require.NoError(t, err)
		require.NoError(t, db.Close())
		var files []host.Checkpoint
		for i, data := range points {
			files = append(files, host.Checkpoint{Name: fmt.Sprint("checkpoint ", i+1), Data: data})
		}
		found, err := host.Verify(folder, files...)
		require.NoError(t, err)
		return found
	}
	anew := func(n int) (query string) {
		for i, line := range rewritten(t, lines, n) {
			query += fmt.Sprintf("UPDATE note SET text = x'%x' WHERE n = %d; ", line, i+1)
		}
		return query
	}
	cut := fmt.Sprintf("DELETE FROM note WHERE n = %d", len(lines))
	found := verify("", first, last)
	assert.Empty(t, found.Wrong)
	assert.Equal(t, 2, found.Checkpoints)
	assert.Empty(t, verify(cut).Wrong, "without a checkpoint that does not show")
	for name, c := range map[string]struct {
		query string
		says  map[string]string // by checkpoint
	}{
		"the end is cut off":     {cut, map[string]string{"checkpoint 2": "host.notes-cut"}},
		"the last one is new":    {anew(len(lines)), map[string]string{"checkpoint 2": "host.notes-rewritten"}},
		"all are written anew":   {anew(1), map[string]string{"checkpoint 1": "host.notes-rewritten", "checkpoint 2": "host.notes-rewritten"}},
		"one between them is so": {anew(len(lines) - 1), map[string]string{"checkpoint 1": "host.notes-rewritten", "checkpoint 2": "host.notes-rewritten"}},
	} {
		found := verify(c.query, first, last)
		assert.Len(t, found.Wrong, len(c.says), name)
		assert.Equal(t, 2-len(c.says), found.Checkpoints, name)
		for i, file := range []string{"checkpoint 1", "checkpoint 2"} {
			if says := c.says[file]; says != "" && assert.NotEmpty(t, found.Wrong, name) {
				wrong := found.Wrong[min(i, len(found.Wrong)-1)]
				assert.ErrorContains(t, wrong, says, name)
				assert.ErrorContains(t, wrong, file, name)
			}
		}
	}
	changed := bytes.Clone(last)
	changed[len(changed)/2] ^= 1
	assert.Len(t, verify("", changed, last[:len(last)-1], nil).Wrong, 3, "changed, cut off, and empty")
	assert.Len(t, verify("", theirs).Wrong, 1, "of another practical")
	found, err = host.VerifyBackup(backup(t, other), host.Checkpoint{Name: "x", Data: theirs})
	require.NoError(t, err)
	assert.Equal(t, 1, found.Checkpoints)
}
