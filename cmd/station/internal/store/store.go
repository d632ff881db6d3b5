// Package store keeps the station's logs and settings as files in a folder. A
// write is on the disk when it returns; one that fails leaves what was there.
package store

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"conoid/sim/fact"
)

// ErrFull is told when there is no more room for what is to be kept.
var ErrFull = fact.Refuse("store.browser-full")

// Folder is a folder of files. Names are like "sittings/ferry-clerk-42.jsonl":
// lower-case letters, digits, hyphens, dots and slashes, whatever the system.
type Folder struct {
	root *os.Root
	dir  string

	// Tests put failures in place of these.
	write func(f *os.File, data []byte) (int, error)
	sync  func(f *os.File) error
}

// Open opens the folder, and makes it when it is not there.
func Open(dir string) (*Folder, error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fact.Because(cause(err), "store.not-made", "folder", dir)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, fact.Because(cause(err), "store.not-opened", "folder", dir)
	}
	return &Folder{root: root, dir: dir, write: (*os.File).Write, sync: (*os.File).Sync}, nil
}

// Close lets the folder go.
func (s *Folder) Close() error { return s.root.Close() }

// List is the names that begin with the prefix, sorted. What other programs
// left in the folder under names of their own is not listed.
func (s *Folder) List(prefix string) ([]string, error) {
	var names []string
	err := fs.WalkDir(s.root.FS(), ".", func(name string, e fs.DirEntry, err error) error {
		if err == nil && e.Type().IsRegular() && Check(name) == nil && strings.HasPrefix(name, prefix) {
			names = append(names, name)
		}
		return err
	})
	if err != nil {
		return nil, fact.Because(cause(err), "store.not-listed", "folder", s.dir)
	}
	slices.Sort(names)
	return names, nil
}

// Read is the content of a file; fs.ErrNotExist when there is none.
func (s *Folder) Read(name string) ([]byte, error) {
	if err := Check(name); err != nil {
		return nil, err
	}
	data, err := s.root.ReadFile(name)
	return data, s.failed(name, "store.not-read", err)
}

// Append puts data at the end of a file, which it makes when there is none.
// When it fails the file is as long as it was before.
func (s *Folder) Append(name string, data []byte) error {
	if err := s.parent(name); err != nil {
		return err
	}
	_, before := s.root.Stat(name)
	f, err := s.root.OpenFile(name, os.O_WRONLY|os.O_APPEND|os.O_CREATE, 0o644)
	if err != nil {
		return s.failed(name, "store.not-written", err)
	}
	defer f.Close()
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return s.failed(name, "store.not-written", err)
	}
	if err := s.put(f, data); err != nil {
		if cut := f.Truncate(size); cut != nil {
			return s.failed(name, "store.damaged", err)
		}
		if errors.Is(before, fs.ErrNotExist) {
			s.root.Remove(name)
		}
		return s.failed(name, "store.not-written", err)
	}
	if errors.Is(before, fs.ErrNotExist) {
		s.settle(name)
	}
	return nil
}

// Truncate cuts a file to size bytes.
func (s *Folder) Truncate(name string, size int64) error {
	if err := Check(name); err != nil {
		return err
	}
	f, err := s.root.OpenFile(name, os.O_WRONLY, 0)
	if err != nil {
		return s.failed(name, "store.not-cut", err)
	}
	defer f.Close()
	if err = f.Truncate(size); err == nil {
		err = s.sync(f)
	}
	return s.failed(name, "store.not-cut", err)
}

// Replace puts data in the place of a file's content. Whenever it is broken
// off, the file holds all of the old content or all of the new.
func (s *Folder) Replace(name string, data []byte) error {
	if err := s.parent(name); err != nil {
		return err
	}
	// The capital keeps the draft out of every list.
	draft := name + ".DRAFT"
	f, err := s.root.OpenFile(draft, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o644)
	if err != nil {
		return s.failed(name, "store.not-written", err)
	}
	err = s.put(f, data)
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = s.root.Rename(draft, name)
	}
	if err != nil {
		s.root.Remove(draft)
		return s.failed(name, "store.not-written", err)
	}
	s.settle(name)
	return nil
}

// Remove takes a file away, if there is one.
func (s *Folder) Remove(name string) error {
	if err := Check(name); err != nil {
		return err
	}
	if err := s.root.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return s.failed(name, "store.not-removed", err)
	}
	s.settle(name)
	return nil
}

// Settled reports whether all that was written is on the disk: always, since every write waits.
func (s *Folder) Settled() bool { return true }

// put writes all of data and waits for the disk.
func (s *Folder) put(f *os.File, data []byte) error {
	n, err := s.write(f, data)
	if err == nil && n < len(data) {
		err = io.ErrShortWrite
	}
	if err != nil {
		return err
	}
	return s.sync(f)
}

// parent checks a name and makes the folder that the file is to be in.
func (s *Folder) parent(name string) error {
	if err := Check(name); err != nil {
		return err
	}
	if err := s.root.MkdirAll(path.Dir(name), 0o755); err != nil {
		return s.failed(name, "store.not-written", err)
	}
	return nil
}

// settle puts on the disk that a name came or went. Some systems cannot open a
// folder for this, and write names at once anyhow; so a failure is no failure
// of the write.
func (s *Folder) settle(name string) {
	if d, err := s.root.Open(path.Dir(name)); err == nil {
		d.Sync()
		d.Close()
	}
}

// failed is an error about a file, with the ID of its words.
func (s *Folder) failed(name, id string, err error) error {
	if err == nil {
		return nil
	}
	return fact.Because(cause(err), id, "file", filepath.Join(s.dir, filepath.FromSlash(name)))
}

// cause leaves out of an error the path that the message names already.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}
