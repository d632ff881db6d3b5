package store

import (
	"io/fs"
	"slices"
	"strings"

	"conoid/sim/fact"
)

// Memory keeps files for as long as the program runs, where nothing else can keep them.
type Memory struct{ files map[string][]byte }

// NewMemory is one with nothing in it.
func NewMemory() *Memory { return &Memory{map[string][]byte{}} }

// List is the names that begin with the prefix, sorted.
func (m *Memory) List(prefix string) (names []string, err error) {
	for name := range m.files {
		if strings.HasPrefix(name, prefix) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names, nil
}

// Read is the content of a file; fs.ErrNotExist when there is none.
func (m *Memory) Read(name string) ([]byte, error) {
	data, is := m.files[name]
	if !is {
		return nil, fact.Because(fs.ErrNotExist, "store.not-read", "file", name)
	}
	return slices.Clone(data), nil
}

// Append puts data at the end of a file, which it makes when there is none.
func (m *Memory) Append(name string, data []byte) error {
	return m.Replace(name, slices.Concat(m.files[name], data))
}

// Truncate cuts a file to size bytes.
func (m *Memory) Truncate(name string, size int64) error {
	data, err := m.Read(name)
	if err != nil {
		return err
	}
	if size < 0 || size > int64(len(data)) {
		return fact.Refuse("store.too-short", "file", name, "size", int(size), "has", len(data))
	}
	return m.Replace(name, data[:size])
}

// Replace puts data in the place of a file's content.
func (m *Memory) Replace(name string, data []byte) error {
	if err := Check(name); err != nil {
		return err
	}
	m.files[name] = slices.Clone(data)
	return nil
}

// Settled reports whether all is kept as it ever will be: always.
func (m *Memory) Settled() bool { return true }

// Remove takes a file away, if there is one.
func (m *Memory) Remove(name string) error {
	delete(m.files, name)
	return nil
}
