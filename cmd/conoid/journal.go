package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"conoid/cases"
	"conoid/sim/sitting"
)

// journal is the log of a sitting in a file. Each event is on the disk before
// its answer is shown.
type journal struct {
	file *os.File
	log  *sitting.Log
}

// createJournal begins a log in a new file.
func createJournal(path string, h sitting.Header) (*journal, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return nil, fmt.Errorf("the log cannot be begun: %s: %w", path, cause(err))
	}
	log, err := sitting.NewLog(f, h)
	if err == nil {
		err = f.Sync()
	}
	if err != nil {
		f.Close()
		os.Remove(path)
		return nil, fmt.Errorf("the log cannot be begun: %s: %w", path, cause(err))
	}
	return &journal{f, log}, nil
}

// readJournal reads the log of a sitting.
func readJournal(path string) (*sitting.Record, error) {
	data, err := readFile(path, "the log")
	if err != nil {
		return nil, err
	}
	rec, err := sitting.ReadLog(strings.NewReader(string(data)))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return rec, nil
}

// continueJournal goes on with a log that was read, behind its last whole line.
func continueJournal(path string, rec *sitting.Record) (*journal, error) {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return nil, fmt.Errorf("the log cannot be continued: %s: %w", path, cause(err))
	}
	err = f.Truncate(rec.Size)
	if err == nil {
		_, err = f.Seek(rec.Size, io.SeekStart)
	}
	if err != nil {
		f.Close()
		return nil, fmt.Errorf("the log cannot be continued: %s: %w", path, cause(err))
	}
	return &journal{f, sitting.ContinueLog(f, rec)}, nil
}

// append writes an event and waits until it is on the disk.
func (j *journal) append(e sitting.Event) error {
	if j == nil {
		return nil
	}
	err := j.log.Append(e)
	if err == nil {
		err = j.file.Sync()
	}
	if err != nil {
		return fmt.Errorf("event %d could not be kept, so that the sitting stops here; what came before is safe in %s: %w", e.N, j.file.Name(), cause(err))
	}
	return nil
}

func (j *journal) close() {
	if j != nil {
		j.file.Close()
	}
}

// ownLog is where a log goes when none is named: a new file in the user's own
// folder for settings and data.
func ownLog(c *cases.Case, seed uint64, now time.Time) (string, error) {
	base, err := os.UserConfigDir()
	if err != nil {
		return "", errors.New("there is no folder of your own to keep the log in: name a file with --log, or write --no-log")
	}
	dir := filepath.Join(base, "conoid", "sittings")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", fmt.Errorf("the log cannot be kept in %s: %w; name a file with --log, or write --no-log", dir, cause(err))
	}
	return filepath.Join(dir, fmt.Sprintf("%s-%s-%d.jsonl", c.ID, now.Format("2006-01-02-150405"), seed)), nil
}

// exists tells whether there is a file.
func exists(path string) bool {
	_, err := os.Stat(path)
	return !errors.Is(err, fs.ErrNotExist)
}
