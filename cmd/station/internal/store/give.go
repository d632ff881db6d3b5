package store

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"conoid/sim/fact"
)

// GiveFolder is where a user looks for a file that a program gave out: the
// folder for downloads, or else the home folder.
func GiveFolder() (string, error) {
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fact.Refuse("store.no-home")
	}
	downloads := filepath.Join(home, "Downloads")
	if info, err := os.Stat(downloads); err == nil && info.IsDir() {
		return downloads, nil
	}
	return home, nil
}

// Give writes a file for the user into a folder and returns its path. A file
// that is there already is left alone, and the new one gets a number.
func Give(dir, name string, data []byte) (string, error) {
	if err := Check(name); err != nil {
		return "", err
	}
	name = filepath.Base(filepath.FromSlash(name))
	ending := filepath.Ext(name)
	stem := strings.TrimSuffix(name, ending)
	for n := 1; ; n++ {
		path := filepath.Join(dir, name)
		err := create(path, data)
		if err == nil {
			return path, nil
		}
		if !errors.Is(err, fs.ErrExist) || n == 1000 {
			return "", fact.Because(cause(err), "store.not-written", "file", path)
		}
		name = fmt.Sprintf("%s-%d%s", stem, n+1, ending)
	}
}

// create writes a new file, and leaves none when it fails.
func create(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	n, err := f.Write(data)
	if err == nil && n < len(data) {
		err = io.ErrShortWrite
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	if err != nil {
		os.Remove(path)
	}
	return err
}
