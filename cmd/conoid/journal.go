package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/handed"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// logFile is the log of a sitting in a file. Each line is on the disk before
// what it says is told.
type logFile struct{ file *os.File }

var _ chair.Log = (*logFile)(nil)

// createLog makes the file of a new log.
func createLog(path string) (*logFile, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return nil, fact.Because(cause(err), "log.not-created", "path", path)
	}
	return &logFile{f}, nil
}

// continueLog opens a log that was read, behind its last whole line.
func continueLog(path string, rec *sitting.Record) (*logFile, error) {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err == nil {
		_, err = f.Seek(rec.Size, io.SeekStart)
	}
	if err != nil {
		return nil, fact.Because(cause(err), "log.not-continued", "path", path)
	}
	return &logFile{f}, nil
}

// Append writes a line and waits until it is on the disk.
func (l *logFile) Append(line []byte) error {
	if _, err := l.file.Write(line); err != nil {
		return cause(err)
	}
	return cause(l.file.Sync())
}

// Truncate cuts the file, and goes on from there.
func (l *logFile) Truncate(size int64) error {
	if err := l.file.Truncate(size); err != nil {
		return cause(err)
	}
	if _, err := l.file.Seek(size, io.SeekStart); err != nil {
		return cause(err)
	}
	return cause(l.file.Sync())
}

// name is the path of the file; "" when no log is kept.
func (l *logFile) name() string {
	if l == nil {
		return ""
	}
	return l.file.Name()
}

func (l *logFile) close() {
	if l != nil {
		l.file.Close()
	}
}

// discard takes away a log that was not begun.
func (l *logFile) discard() {
	if l != nil {
		l.file.Close()
		os.Remove(l.file.Name())
	}
}

// readLog reads the log of a sitting.
func readLog(path string) (*sitting.Record, error) {
	data, err := readFile(path, "argument.log")
	if err != nil {
		return nil, err
	}
	if work, err := handed.Read(path, data); err == nil {
		return nil, fact.Refuse("log.handed-in", "path", path, "n", fact.Count(len(work.Logs)))
	}
	rec, err := sitting.ReadLog(bytes.NewReader(data))
	if err != nil {
		return nil, fact.Because(err, "log.in", "path", path)
	}
	return rec, nil
}

// ownLog is where a log goes when none is named: a new file in the user's own
// folder for settings and data.
func ownLog(id string, seed uint64, now time.Time) (string, error) {
	base, err := os.UserConfigDir()
	if err != nil {
		return "", fact.Refuse("log.no-own-folder")
	}
	dir := filepath.Join(base, "conoid", "sittings")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return "", fact.Because(cause(err), "log.own-folder", "folder", dir)
	}
	return filepath.Join(dir, fmt.Sprintf("%s-%s-%d.jsonl", id, now.Format("2006-01-02-150405"), seed)), nil
}

// exists reports whether there is a file.
func exists(path string) bool {
	_, err := os.Stat(path)
	return !errors.Is(err, fs.ErrNotExist)
}
