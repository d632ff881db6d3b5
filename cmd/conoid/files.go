package main

import (
	"errors"
	"image"
	"image/png"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"conoid/cmd/internal/whole"
	"conoid/sim/fact"
)

// writeNew writes a file that is complete or not there at all. A file that is
// there already is left alone unless force is set.
func writeNew(path string, data []byte, mode fs.FileMode, force bool) error {
	err := whole.Write(path, mode, force, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
	switch {
	case errors.Is(err, fs.ErrExist):
		return fact.Refuse("file.there-already", "path", path)
	case err != nil:
		return unwritable(path, err)
	}
	return nil
}

// writePNG writes a picture to a file, over one that may be there already. The
// file is complete or, after an error, as it was before.
func writePNG(path string, img image.Image) error {
	err := whole.Write(path, 0o644, true, func(w io.Writer) error { return png.Encode(w, img) })
	if err != nil {
		return unwritable(path, err)
	}
	return nil
}

func unwritable(path string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return fact.Refuse("file.no-folder", "path", path)
	}
	return fact.Because(bare(err), "file.unwritable", "path", path)
}

// writeFolder writes files, named with slashes, into a folder that is new, or
// empty. It is complete or not there at all.
func writeFolder(dir string, files map[string][]byte) error { return writeFolderFor(0o644, dir, files) }

// freeFolder refuses a folder that has something in it. What takes long asks it first.
func freeFolder(dir string) error {
	if there, err := os.ReadDir(dir); err == nil && len(there) > 0 {
		return fact.Refuse("file.folder-there-already", "path", dir)
	}
	return nil
}

// writeFolderFor is writeFolder for those who may read by the permissions of a
// file.
func writeFolderFor(mode fs.FileMode, dir string, files map[string][]byte) error {
	if err := freeFolder(dir); err != nil {
		return err
	}
	if err := fillFolder(mode, dir, files); err != nil {
		return unwritable(dir, err)
	}
	return nil
}

func fillFolder(mode fs.FileMode, dir string, files map[string][]byte) error {
	dir = filepath.Clean(dir)
	folder := mode | mode&0o444>>2 // who may read may enter
	temp, err := os.MkdirTemp(filepath.Dir(dir), ".conoid-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	for name, data := range files {
		path := filepath.Join(temp, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), folder); err != nil {
			return err
		}
		if err := os.WriteFile(path, data, mode); err != nil {
			return err
		}
	}
	if err := os.Chmod(temp, folder); err != nil {
		return err
	}
	if info, err := os.Stat(dir); err == nil && info.IsDir() {
		if err := os.Remove(dir); err != nil { // it is empty
			return err
		}
	}
	return os.Rename(temp, dir)
}

// bare leaves out the names of files that the user has not given.
func bare(err error) error {
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return cause(err)
}
