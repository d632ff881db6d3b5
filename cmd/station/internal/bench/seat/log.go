package seat

import (
	"bytes"
	"errors"
	"io/fs"

	"conoid/sim/sitting"
)

// Store keeps logs and notes.
type Store interface {
	List(prefix string) ([]string, error)
	Read(name string) ([]byte, error)
	Append(name string, data []byte) error
	Truncate(name string, size int64) error
	Replace(name string, data []byte) error
	Remove(name string) error
}

// log is a log in the store; it implements chair.Log.
type log struct {
	store Store
	name  string
}

// Append puts a line at the end.
func (l log) Append(line []byte) error { return l.store.Append(l.name, line) }

// Truncate cuts off what is longer than size bytes.
func (l log) Truncate(size int64) error { return l.store.Truncate(l.name, size) }

// read reads the log; nil when there is none. One whose first line was cut off
// says nothing yet: it is emptied.
func (l log) read() (rec *sitting.Record, torn bool, err error) {
	data, err := l.store.Read(l.name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, false, nil
	case err != nil:
		return nil, false, err
	case !bytes.ContainsRune(data, '\n'):
		return nil, len(data) > 0, l.Truncate(0)
	}
	rec, err = sitting.ReadLog(bytes.NewReader(data))
	if err != nil {
		return nil, false, err
	}
	return rec, rec.Torn, nil
}
