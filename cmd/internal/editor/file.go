package editor

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"sync"

	"conoid/cases"
	"conoid/cmd/internal/whole"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// file is the one file that is edited.
type file struct {
	path string
	mu   sync.Mutex // one save after the other
}

func (f *file) name() string { return filepath.Base(f.path) }

// state is the file as the page has it: what it was when it was opened or saved, and
// the values of its keys.
type state struct {
	Base   []byte            `json:"base"`
	There  bool              `json:"there"` // false for a file that does not exist yet
	Values map[string]string `json:"values"`
}

// read is what the file is now.
func (f *file) read() (data []byte, there bool, err error) {
	data, err = os.ReadFile(f.path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, false, nil
	}
	return data, err == nil, err
}

// opened opens the file; one that is not there begins as a new case.
func (e *Editor) opened(v voice.Voice) (*state, error) {
	data, there, err := e.file.read()
	if err != nil {
		return nil, fact.Because(bare(err), "editor.not-opened")
	}
	switch {
	case !there:
		data = cases.Template(v.Say)
	case cases.IsSealed(data):
		return nil, fact.Refuse("editor.sealed", "file", e.file.name(), "command", "conoid case open "+e.file.name())
	case cases.IsAssignment(data):
		return nil, fact.Refuse("file.is-set", "file", e.file.name())
	}
	d, err := cases.NewDraft(e.file.name(), data, v.Say)
	if err != nil {
		return nil, err
	}
	return &state{data, there, d.Values()}, nil
}

func bare(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// changes are what the page asks about: the file as it was opened, and the values that
// are others now.
type changes struct {
	Base   []byte            `json:"base"`
	There  bool              `json:"there"`
	Values map[string]string `json:"values"`
	Force  bool              `json:"force"` // over whatever the file is now
}

// draft is the file with its changes.
func (e *Editor) draft(r *http.Request, v voice.Voice) (c changes, d *cases.Draft, err error) {
	if err = json.NewDecoder(r.Body).Decode(&c); err != nil {
		return c, nil, err
	}
	if d, err = cases.NewDraft(e.file.name(), c.Base, v.Say); err != nil {
		return c, nil, err
	}
	d, err = d.Edit(c.Values)
	return c, d, err
}

// errChanged is that the file is not what it was when it was opened.
var errChanged error = fact.Refuse("editor.changed-title")

func (e *Editor) serveSave(w http.ResponseWriter, r *http.Request, v voice.Voice) {
	c, d, err := e.draft(r, v)
	if err == nil {
		err = e.file.save(c, d.Bytes())
	}
	if errors.Is(err, errChanged) {
		fail(w, v, http.StatusConflict, fact.Refuse("editor.changed", "file", e.file.name()))
		return
	}
	if err != nil {
		answer(w, v, nil, err)
		return
	}
	answer(w, v, &state{d.Bytes(), true, d.Values()}, nil)
}

// save writes the file whole or not at all, unless it is another one now than it was
// opened as.
func (f *file) save(c changes, data []byte) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	now, there, err := f.read()
	switch {
	case err != nil:
		return fact.Because(bare(err), "editor.not-saved")
	case !c.Force && (there != c.There || there && !bytes.Equal(now, c.Base)):
		return errChanged
	}
	mode := fs.FileMode(0o644)
	if info, err := os.Stat(f.path); err == nil {
		mode = info.Mode().Perm()
	}
	err = whole.Write(f.path, mode, there, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
	switch {
	case errors.Is(err, fs.ErrExist):
		return errChanged
	case err != nil:
		return fact.Because(err, "editor.not-saved")
	}
	return nil
}
