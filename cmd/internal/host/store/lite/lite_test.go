package lite_test

import (
	"database/sql"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/store"
	"conoid/cmd/internal/host/store/lite"
	"conoid/cmd/internal/host/store/storetest"
)

func TestStore(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a folder?", "host #1.db")
	_, err := lite.Open(path)
	require.Error(t, err, "a folder is not made")
	path = filepath.Join(t.TempDir(), "host #1 %20.db")
	storetest.Run(t, func(t *testing.T) store.Store {
		s, err := lite.Open(path)
		require.NoError(t, err)
		return s
	})
	assert.FileExists(t, path)
}

// Two programs at one file would each think that it knows what comes next.
func TestOneProgramHasIt(t *testing.T) {
	path := filepath.Join(t.TempDir(), "host.db")
	s, err := lite.Open(path)
	require.NoError(t, err)
	_, err = lite.Open(path)
	assert.ErrorIs(t, err, store.ErrInUse)
	require.NoError(t, s.Close())
	s, err = lite.Open(path)
	require.NoError(t, err)
	require.NoError(t, s.Close())
}

// A copy is of one moment, and a whole store, while a program has the file open and writes.
func TestCopy(t *testing.T) {
	path, to := filepath.Join(t.TempDir(), "host.db"), filepath.Join(t.TempDir(), "copy #2.db")
	require.Error(t, lite.Copy(path, to), "there is nothing")
	assert.NoFileExists(t, path)
	s, err := lite.Open(path)
	require.NoError(t, err)
	require.NoError(t, s.SetPractical(store.Practical{ID: "P", File: []byte("x")}))
	ended := make(chan error)
	go func() {
		for n := range 200 {
			if err := s.Note("P", n+1, []byte("x")); err != nil {
				ended <- err
				return
			}
		}
		close(ended)
	}()
	require.NoError(t, lite.Copy(path, to))
	require.NoError(t, <-ended)
	assert.Error(t, lite.Copy(path, to), "nothing is written over")
	require.NoError(t, s.Close())
	c, err := lite.Open(to)
	require.NoError(t, err)
	require.NoError(t, c.Sound())
	all, err := c.Practicals()
	require.NoError(t, err)
	assert.Equal(t, []store.Practical{{ID: "P", File: []byte("x")}}, all)
	require.NoError(t, c.Close())
}

// Of who is erased nothing is left, in the file neither; others stay as they are.
func TestErase(t *testing.T) {
	path := filepath.Join(t.TempDir(), "host.db")
	s, err := lite.Open(path)
	require.NoError(t, err)
	require.NoError(t, s.SetPractical(store.Practical{ID: "P", File: []byte("x")}))
	for _, c := range []string{"A", "B"} {
		require.NoError(t, s.SetSeat(store.Seat{Practical: "P", Candidate: c}))
		require.NoError(t, s.SetRecord("P", c, []byte("the record of "+c)))
		require.NoError(t, s.Append(store.Place{Practical: "P", Candidate: c}, store.Line{Text: []byte("the line of " + c)}))
	}
	require.NoError(t, s.Erase("P", "A"))
	seats, err := s.Seats("P")
	require.NoError(t, err)
	require.Len(t, seats, 1)
	lines, err := s.Lines(store.Place{Practical: "P", Candidate: "A"})
	require.NoError(t, err)
	assert.Empty(t, lines)
	lines, err = s.Lines(store.Place{Practical: "P", Candidate: "B"})
	require.NoError(t, err)
	assert.Len(t, lines, 1)
	files, err := filepath.Glob(path + "*")
	require.NoError(t, err)
	all := ""
	for _, f := range files {
		data, err := os.ReadFile(f)
		require.NoError(t, err)
		all += string(data)
	}
	assert.NotContains(t, all, "of A")
	assert.Contains(t, all, "the line of B")
	require.NoError(t, s.Close())
}

// What a newer program has written is not touched.
func TestANewerStoreIsRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "host.db")
	s, err := lite.Open(path)
	require.NoError(t, err)
	require.NoError(t, s.Close())
	run(t, path, "PRAGMA user_version = 99")
	_, err = lite.Open(path)
	assert.ErrorIs(t, err, store.ErrNewer)
}

// The file itself keeps its lines, whoever writes to it.
func TestLinesCannotBeChanged(t *testing.T) {
	path := filepath.Join(t.TempDir(), "host.db")
	s, err := lite.Open(path)
	require.NoError(t, err)
	require.NoError(t, s.SetPractical(store.Practical{ID: "P", File: []byte("x")}))
	require.NoError(t, s.SetSeat(store.Seat{Practical: "P", Candidate: "1"}))
	require.NoError(t, s.Append(store.Place{Practical: "P", Candidate: "1"}, store.Line{Text: []byte("x")}))
	require.NoError(t, s.Note("P", 1, []byte("x")))
	require.NoError(t, s.Renumber("P", "1", "2", []int{0}))
	require.NoError(t, s.SetSeat(store.Seat{Practical: "P", Candidate: "1"}))
	require.NoError(t, s.Append(store.Place{Practical: "P", Candidate: "1"}, store.Line{Text: []byte("x")}))
	require.NoError(t, s.Close())
	for _, q := range []string{"DELETE FROM line WHERE candidate = '1'", "DELETE FROM line WHERE candidate = '2'", "UPDATE line SET text = 'y'", "DELETE FROM line", "UPDATE note SET text = 'y'", "DELETE FROM note"} {
		assert.ErrorContains(t, tryRun(t, path, q), "stays", q)
	}
}

func run(t *testing.T, path, query string) { require.NoError(t, tryRun(t, path, query)) }

func tryRun(t *testing.T, path, query string) error {
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	defer db.Close()
	_, err = db.Exec(query)
	return err
}
