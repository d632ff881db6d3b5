// Package whole writes files that are complete or not there at all.
package whole

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"conoid/sim/fact"
)

// Write writes a file by way of a temporary one beside it, with the permissions
// of mode. A file that is there already is written over only when replace is
// set; otherwise the error is fs.ErrExist. After any error all is as it was
// before, and no error names a file: the caller knows which it is.
func Write(path string, mode fs.FileMode, replace bool, fill func(io.Writer) error) error {
	return bare(write(path, mode, replace, fill))
}

func write(path string, mode fs.FileMode, replace bool, fill func(io.Writer) error) error {
	switch info, err := os.Lstat(path); {
	case err != nil:
	case !replace:
		return fs.ErrExist
	case !info.Mode().IsRegular():
		return fact.Refuse("system.no-file")
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".conoid-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	err = f.Chmod(mode)
	if err == nil {
		err = fill(f)
	}
	if err == nil {
		err = f.Sync()
	}
	if err := errors.Join(err, f.Close()); err != nil {
		return err
	}
	if replace {
		return os.Rename(f.Name(), path)
	}
	err = os.Link(f.Name(), path) // fails when someone else was quicker
	if err != nil && !errors.Is(err, fs.ErrExist) {
		err = os.Rename(f.Name(), path) // a disk without links
	}
	return err
}

// bare leaves out the names of files.
func bare(err error) error {
	var p *fs.PathError
	var l *os.LinkError
	switch {
	case errors.As(err, &p):
		return p.Err
	case errors.As(err, &l):
		return l.Err
	}
	return err
}
