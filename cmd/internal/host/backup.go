package host

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"conoid/cmd/internal/host/store/lite"
	"conoid/sim/fact"
)

// sumsFile has the SHA-256 of each other file of a backup, or of an appeal pack, as sha256sum writes and checks it.
const sumsFile = "SHA256SUMS"

// inBackup are the files of a backup. The keys and the secret are among them: without
// them nothing in it could be opened, and nobody could go on.
var inBackup = []string{keysFile, secretFile, dataFile}

// mostOf is the largest file of a backup that is read: our choice.
const mostOf = 8 << 30

// Backup writes a backup of the service's folder: a zip, as the folder is at one moment,
// whether the service runs or not.
func Backup(w io.Writer, folder string) error {
	temp, err := os.MkdirTemp("", "conoid-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	if err := lite.Copy(filepath.Join(folder, dataFile), filepath.Join(temp, dataFile)); err != nil {
		return fact.Because(err, "host.folder", "path", folder)
	}
	z := zip.NewWriter(w)
	var sums bytes.Buffer
	for _, name := range inBackup {
		from := folder
		if name == dataFile {
			from = temp
		}
		sum, err := pack(z, name, filepath.Join(from, name))
		if err != nil {
			return fact.Because(err, "host.folder", "path", folder)
		}
		fmt.Fprintf(&sums, "%x  %s\n", sum, name)
	}
	f, err := z.Create(sumsFile)
	if err == nil {
		_, err = f.Write(sums.Bytes())
	}
	if err != nil {
		return err
	}
	return z.Close()
}

// pack puts a file into a zip, and gives its SHA-256.
func pack(z *zip.Writer, name, path string) ([]byte, error) {
	in, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	out, err := z.Create(name)
	if err != nil {
		return nil, err
	}
	h := sha256.New()
	_, err = io.Copy(io.MultiWriter(out, h), in)
	return h.Sum(nil), err
}

// noBackup says that a file is no whole backup.
func noBackup(path string) error { return fact.Refuse("host.no-backup", "path", path) }

// Restore writes the folder that a backup is of: a new one, which only its owner can
// read, and which is whole or not there at all.
func Restore(path, folder string) error {
	if there, err := os.ReadDir(folder); err == nil && len(there) > 0 {
		return fact.Refuse("file.folder-there-already", "path", folder)
	}
	above := filepath.Dir(filepath.Clean(folder))
	err := os.MkdirAll(above, 0o700) // on a new machine it is not there
	temp := ""
	if err == nil {
		temp, err = os.MkdirTemp(above, ".conoid-*")
	}
	if err != nil {
		return fact.Because(err, "host.folder", "path", folder)
	}
	defer os.RemoveAll(temp)
	if err := unpack(path, temp); err != nil {
		return err
	}
	if err := os.Remove(folder); err != nil && !os.IsNotExist(err) {
		return fact.Because(err, "host.folder", "path", folder)
	}
	if err := os.Rename(temp, folder); err != nil {
		return fact.Because(err, "host.folder", "path", folder)
	}
	return nil
}

// unpack writes the files of a backup into a folder, once their sums are right.
func unpack(path, folder string) error {
	z, err := zip.OpenReader(path)
	if err != nil {
		return noBackup(path)
	}
	defer z.Close()
	var sums bytes.Buffer
	for _, name := range inBackup {
		sum, err := extract(z, name, filepath.Join(folder, name))
		if err != nil {
			return noBackup(path)
		}
		fmt.Fprintf(&sums, "%x  %s\n", sum, name)
	}
	f, err := z.Open(sumsFile)
	if err != nil {
		return noBackup(path)
	}
	defer f.Close()
	said, err := io.ReadAll(io.LimitReader(f, 1<<10))
	if err != nil || !bytes.Equal(said, sums.Bytes()) {
		return noBackup(path)
	}
	return nil
}

// extract writes a file of a zip, and gives its SHA-256.
func extract(z *zip.ReadCloser, name, path string) ([]byte, error) {
	in, err := z.Open(name)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	out, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, err
	}
	h := sha256.New()
	_, err = io.Copy(io.MultiWriter(out, h), io.LimitReader(in, mostOf))
	if closed := out.Close(); err == nil {
		err = closed
	}
	return h.Sum(nil), err
}
