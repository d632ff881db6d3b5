package lite_test

import (
	"bytes"
	"fmt"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/store"
	"conoid/cmd/internal/host/store/lite"
)

// A file that cannot grow refuses what does not fit, keeps what it has, and goes on when
// there is room again: nothing of what was refused is there.
func TestAFileThatCannotGrow(t *testing.T) {
	path := filepath.Join(t.TempDir(), "host.db")
	s, err := lite.Open(path)
	require.NoError(t, err)
	require.NoError(t, s.SetPractical(store.Practical{ID: "P", File: []byte("x")}))
	require.NoError(t, s.SetSeat(store.Seat{Practical: "P", Candidate: "1"}))
	p := store.Place{Practical: "P", Candidate: "1"}
	line := func(n int) store.Line {
		return store.Line{N: n, ID: fmt.Sprint(n), Text: bytes.Repeat([]byte{byte(n)}, 500)}
	}
	require.NoError(t, s.Append(p, line(0)))
	require.NoError(t, s.Full(true))
	kept := 1
	for ; kept < 100; kept++ {
		if err = s.Append(p, line(kept)); err != nil {
			break
		}
	}
	require.ErrorIs(t, err, syscall.ENOSPC, "as people are told it")
	assert.NotErrorIs(t, err, store.ErrTaken)
	require.Error(t, s.Append(p, line(kept)), "again")
	all, err := s.Lines(p)
	require.NoError(t, err)
	assert.Len(t, all, kept)

	require.NoError(t, s.Full(false))
	require.NoError(t, s.Append(p, line(kept)))
	require.NoError(t, s.Close())
	s, err = lite.Open(path)
	require.NoError(t, err)
	all, err = s.Lines(p)
	require.NoError(t, err)
	require.NoError(t, s.Close())
	require.Len(t, all, kept+1)
	for n, l := range all {
		assert.Equal(t, line(n), l)
	}
}

// A commit that fails leaves nothing of itself, and nothing in the way of the next.
func TestACommitThatFails(t *testing.T) {
	s, err := lite.Open(filepath.Join(t.TempDir(), "host.db"))
	require.NoError(t, err)
	defer func() { require.NoError(t, s.Close()) }()
	require.NoError(t, s.SetPractical(store.Practical{ID: "P", File: []byte("x")}))
	for n := 1; n <= 3; n++ {
		require.ErrorContains(t, s.FailsAtCommit(), "FOREIGN KEY")
		require.NoError(t, s.Note("P", n, []byte("x")))
	}
	all, err := s.Notes("P")
	require.NoError(t, err)
	assert.Len(t, all, 3)
	all, err = s.Notes("of nobody")
	require.NoError(t, err)
	assert.Empty(t, all)
}
