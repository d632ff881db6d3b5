package render

import (
	"errors"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
)

// WritePNG writes a picture to a file, over one that may be there already. The
// file is complete or, after an error, as it was before.
func WritePNG(path string, img image.Image) error {
	if err := writePNG(path, img); err != nil {
		return fmt.Errorf("the picture cannot be written to %s: %w", path, err)
	}
	return nil
}

func writePNG(path string, img image.Image) (err error) {
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return errors.New("it is not a file")
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".picture-*")
	if err != nil {
		return cause(err)
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
			err = cause(err)
		}
	}()
	if err := png.Encode(f, img); err != nil {
		return err
	}
	if err := f.Chmod(0o644); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}

// cause leaves out the names of files that the user has not given.
func cause(err error) error {
	var p *os.PathError
	var l *os.LinkError
	switch {
	case errors.As(err, &p):
		return p.Err
	case errors.As(err, &l):
		return l.Err
	}
	return err
}
