package hand

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"conoid/cmd/station/internal/ui"
	"conoid/sim/fact"
)

// File reads a file that is named on the command line.
func File(path string) (ui.File, error) {
	return FileIn(os.DirFS(filepath.Dir(path)), filepath.Base(path))
}

// FileIn reads a file, of which no more than Largest bytes and one are read.
func FileIn(fsys fs.FS, name string) (ui.File, error) {
	failed := func(err error) (ui.File, error) {
		var p *fs.PathError
		if errors.As(err, &p) {
			err = p.Err
		}
		return ui.File{}, fact.Because(err, "store.not-read", "file", name)
	}
	f, err := fsys.Open(name)
	if err != nil {
		return failed(err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return failed(err)
	}
	if !info.Mode().IsRegular() {
		return failed(fact.Refuse("store.no-file"))
	}
	data, err := io.ReadAll(io.LimitReader(f, Largest+1))
	if err != nil {
		return failed(err)
	}
	return ui.File{Name: name, Data: data}, nil
}
