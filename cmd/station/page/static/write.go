package static

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"conoid/sim/fact"
)

// noteFile is what a folder is known by: the files of the builds in it, the newest
// first.
const noteFile = "conoid-site.json"

// note is what stands in it.
type note struct {
	Conoid int     `json:"conoid-site"`
	Builds []build `json:"builds"`
}

type build struct {
	ID    string   `json:"id"`
	Files []string `json:"files"` // whose names change with them
}

const noteVersion = 1

// Write puts a site into a folder that is new, empty, or has an earlier site, which it
// updates: first what is new, and the page last. The build before stays beside it, for
// pages that are open; what is older goes. When it fails, what was there still works.
func (s *Site) Write(dir string) error {
	before, err := earlier(dir)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return failed(dir, err)
	}
	builds := append([]build{{s.ID, s.names()}}, slices.DeleteFunc(before, func(b build) bool { return b.ID == s.ID })...)
	if err := writeNote(dir, builds); err != nil { // before all that is to be known as ours
		return err
	}
	made, err := s.writeNew(dir)
	if err == nil {
		err = s.writePage(dir)
	}
	if err != nil {
		undo(dir, made, before)
		return err
	}
	now := builds[:min(2, len(builds))]
	if err := drop(dir, builds[len(now):], now); err != nil {
		return err
	}
	return writeNote(dir, now)
}

// earlier is what is in the folder already; it refuses one that is not ours.
func earlier(dir string) ([]build, error) {
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist) || err == nil && len(entries) == 0:
		return nil, nil
	case err != nil:
		return nil, failed(dir, err)
	}
	data, err := os.ReadFile(filepath.Join(dir, noteFile))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fact.Refuse("site.not-ours", "folder", dir)
	}
	var n note
	if err == nil {
		err = json.Unmarshal(data, &n)
	}
	if err != nil || n.Conoid != noteVersion {
		return nil, fact.Refuse("site.bad-note", "folder", dir, "file", noteFile)
	}
	return n.Builds, nil
}

func writeNote(dir string, builds []build) error {
	data, err := json.MarshalIndent(note{noteVersion, builds}, "", " ")
	if err != nil {
		return err
	}
	return put(dir, noteFile, append(data, '\n'))
}

// writeNew writes the files whose names change with them, and gives those that were not
// there before.
func (s *Site) writeNew(dir string) (made []string, err error) {
	for _, name := range s.names() {
		if old, err := os.ReadFile(filepath.Join(dir, name)); err == nil && bytes.Equal(old, s.files[name]) {
			continue
		}
		if err := put(dir, name, s.files[name]); err != nil {
			return made, err
		}
		made = append(made, name)
	}
	return made, nil
}

// writePage writes the files whose names stay. The service worker takes only the page
// of its own build, so that it does no harm before the page is there.
func (s *Site) writePage(dir string) error {
	old, unread := os.ReadFile(filepath.Join(dir, workerFile))
	err := put(dir, workerFile, s.kept.Worker())
	if err == nil {
		err = put(dir, pageFile, s.page)
	}
	if err != nil && unread == nil {
		put(dir, workerFile, old)
	}
	return err
}

// put writes a file so that it is there as it was, or whole.
func put(dir, name string, data []byte) error {
	to := filepath.Join(dir, name)
	draft := to + ".draft"
	err := os.WriteFile(draft, data, 0o644)
	if err == nil {
		err = os.Rename(draft, to)
	}
	if err != nil {
		os.Remove(draft)
		return failed(to, err)
	}
	return nil
}

// undo leaves a folder as it was before.
func undo(dir string, made []string, before []build) {
	for _, name := range made {
		os.Remove(filepath.Join(dir, name))
	}
	if before != nil {
		writeNote(dir, before)
		return
	}
	for _, name := range []string{workerFile, noteFile} {
		os.Remove(filepath.Join(dir, name))
	}
}

// drop takes files of old builds away that no build has that stays. Names that lead out
// of the folder are none of ours.
func drop(dir string, old, stay []build) error {
	for _, b := range old {
		for _, name := range b.Files {
			if strings.ContainsAny(name, `/\`) || !filepath.IsLocal(name) || has(stay, name) {
				continue
			}
			if err := os.Remove(filepath.Join(dir, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return failed(name, err)
			}
		}
	}
	return nil
}

func has(builds []build, name string) bool {
	return slices.ContainsFunc(builds, func(b build) bool { return slices.Contains(b.Files, name) })
}

// failed is an error about a file of the site.
func failed(path string, err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return fact.Because(err, "site.not-written", "path", path)
}
