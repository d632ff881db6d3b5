package store

import (
	"errors"
	"io/fs"
	"slices"
	"strings"
	"syscall/js"
	"unicode/utf8"

	"conoid/sim/fact"
)

// Storage keeps logs and settings in the browser, as text, in what the page
// may store under its own origin (Web Storage, HTML standard).
type Storage struct {
	area    func() js.Value
	journal js.Value // is told what was written, see page/journal.js; undefined for none
}

// Browser is the storage of the page, which keeps a journal of it. A browser that forbids
// it throws when it is asked for, which only a call catches.
func Browser(journal js.Value) *Storage { return of(js.Global(), journal) }

func of(window, journal js.Value) *Storage {
	area := func() js.Value { return js.Global().Get("Reflect").Call("get", window, "localStorage") }
	return &Storage{area, journal}
}

// prefix sets the names apart from those of other programs on the origin.
const prefix = "conoid/"

// List is the names that begin with the prefix, sorted.
func (s *Storage) List(begin string) (names []string, err error) {
	defer caught(&err)
	area := s.area()
	for i := range area.Get("length").Int() {
		name, ours := strings.CutPrefix(area.Call("key", i).String(), prefix)
		if ours && strings.HasPrefix(name, begin) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names, nil
}

// Read is the content of a name; fs.ErrNotExist when there is none.
func (s *Storage) Read(name string) (data []byte, err error) {
	if err := Check(name); err != nil {
		return nil, err
	}
	defer caught(&err)
	item := s.area().Call("getItem", prefix+name)
	if item.IsNull() {
		return nil, fact.Because(fs.ErrNotExist, "store.not-read", "file", name)
	}
	return []byte(item.String()), nil
}

// Append puts text at the end of a name's content, all of it or none.
func (s *Storage) Append(name string, data []byte) error {
	before, err := s.Read(name)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return s.Replace(name, append(before, data...))
}

// Truncate cuts the content of a name to size bytes.
func (s *Storage) Truncate(name string, size int64) error {
	data, err := s.Read(name)
	if err != nil {
		return err
	}
	if size < 0 || size > int64(len(data)) {
		return fact.Refuse("store.too-short", "file", name, "size", int(size), "has", len(data))
	}
	return s.Replace(name, data[:size])
}

// Replace puts text in the place of a name's content, all of it or none.
func (s *Storage) Replace(name string, data []byte) (err error) {
	if err := Check(name); err != nil {
		return err
	}
	if !utf8.Valid(data) {
		return fact.Refuse("store.no-text", "file", name)
	}
	defer caught(&err)
	s.area().Call("setItem", prefix+name, string(data))
	s.note(name, string(data))
	return nil
}

// Remove takes a name away, if it is there.
func (s *Storage) Remove(name string) (err error) {
	if err := Check(name); err != nil {
		return err
	}
	defer caught(&err)
	s.area().Call("removeItem", prefix+name)
	s.note(name, nil)
	return nil
}

// note tells the journal what is under a name now; nil for nothing.
func (s *Storage) note(name string, text any) {
	if s.journal.Truthy() {
		s.journal.Call("note", prefix+name, text)
	}
}

// Settled reports whether what the journal was told is on the disk: true where there is none,
// since then nobody can tell.
func (s *Storage) Settled() bool { return !s.journal.Truthy() || s.journal.Call("settled").Bool() }

// errNotAllowed is a failure of a browser that a user can do something about.
var errNotAllowed = fact.Refuse("store.browser-forbids")

// Works reports whether anything can be kept. A browser that has no room for the least
// thing, where nothing is kept yet, keeps nothing.
func (s *Storage) Works() bool {
	const probe = "can-it-keep"
	err := s.Replace(probe, []byte("1"))
	if errors.Is(err, ErrFull) {
		names, unlisted := s.List("")
		return unlisted == nil && len(names) > 0
	}
	return err == nil && s.Remove(probe) == nil
}

// caught makes an error of what the browser throws.
func caught(err *error) {
	switch thrown := recover().(type) {
	case nil:
	case js.Error:
		switch name := thrown.Get("name").String(); name {
		case "QuotaExceededError":
			*err = ErrFull
		case "SecurityError":
			*err = errNotAllowed
		default:
			*err = fact.Refuse("store.browser", "why", thrown.Error())
		}
	case *js.ValueError: // there is no storage at all
		*err = errNotAllowed
	default:
		panic(thrown)
	}
}
