// Package host is the service of practicals on one machine: its folder, its rooms and
// its clock. What is decided in a practical is decided in package room; package web
// puts it before browsers.
package host

import (
	"context"
	"crypto/rand"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/host/room"
	"conoid/cmd/internal/host/staff"
	"conoid/cmd/internal/host/store"
	"conoid/cmd/internal/host/store/lite"
	"conoid/cmd/internal/host/wire"
	"conoid/cmd/internal/whole"
	"conoid/scoring/practical"
	"conoid/sim/fact"
)

// The files of the service's folder. Who has the keys can read its practicals, and
// sign results; who has the secret can make tickets that let in.
const (
	keysFile   = "host.key"
	secretFile = "host.secret"
	dataFile   = "host.db"
)

// secretBytes is how long the secret is: as long as what it makes, SHA-256 (RFC 2104,
// section 3).
const secretBytes = 32

// Service holds practicals.
type Service struct {
	keys   *practical.Keys
	secret []byte
	store  store.Store
	staff  *staff.Book
	now    func() time.Time

	last time.Time // up to when time was let pass; the zero value: from when it runs

	work     sync.WaitGroup // what is done behind
	markings markings

	mu    sync.Mutex
	rooms []*room.Room // in the order in which they were made
}

// Open opens the service of a folder, which is made if it is not there; practicals
// that were under way go on. The error is [store.ErrInUse] or [store.ErrNewer], or says
// what is wrong with the folder.
func Open(folder string, now func() time.Time) (*Service, error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, fact.Because(err, "host.folder", "path", folder)
	}
	s := &Service{now: now, markings: markings{all: map[string]Marking{}}}
	err := s.unlock(folder)
	if err != nil {
		return nil, fact.Because(err, "host.folder", "path", folder)
	}
	if s.store, err = lite.Open(filepath.Join(folder, dataFile)); err != nil {
		return nil, fact.Because(err, "host.folder", "path", folder)
	}
	if s.staff, err = staff.Open(s.store.Staff(), s.secret); err == nil {
		err = s.restore()
	}
	if err != nil {
		return nil, errors.Join(err, s.store.Close())
	}
	return s, nil
}

// Peek opens a copy of a service's folder, whether the service runs or not, and has it looked
// at. Nothing of the folder changes.
func Peek(folder string, now func() time.Time, look func(*Service) error) error {
	temp, err := os.MkdirTemp("", "conoid-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(temp)
	for _, name := range []string{keysFile, secretFile} {
		data, err := os.ReadFile(filepath.Join(folder, name))
		if err == nil {
			err = os.WriteFile(filepath.Join(temp, name), data, 0o600)
		}
		if err != nil {
			return fact.Because(err, "host.folder", "path", folder)
		}
	}
	if err := lite.Copy(filepath.Join(folder, dataFile), filepath.Join(temp, dataFile)); err != nil {
		return fact.Because(err, "host.folder", "path", folder)
	}
	s, err := Open(temp, now)
	if err != nil {
		return err
	}
	return errors.Join(look(s), s.Close())
}

// unlock reads the keys and the secret of a folder, which are made if they are not there.
func (s *Service) unlock(folder string) error {
	key, err := own(filepath.Join(folder, keysFile), func() ([]byte, error) {
		k, err := practical.NewKeys()
		if err != nil {
			return nil, err
		}
		return k.File(), nil
	})
	if err != nil {
		return err
	}
	if s.keys, err = practical.ReadKeys(keysFile, key); err != nil {
		return err
	}
	s.secret, err = own(filepath.Join(folder, secretFile), func() ([]byte, error) {
		b := make([]byte, secretBytes)
		_, err := rand.Read(b)
		return b, err
	})
	if err == nil && len(s.secret) != secretBytes {
		err = fact.Refuse("host.no-secret", "file", secretFile)
	}
	return err
}

// own is a file that only its owner can read, made if it is not there.
func own(path string, make func() ([]byte, error)) ([]byte, error) {
	data, err := os.ReadFile(path)
	if !errors.Is(err, fs.ErrNotExist) {
		return data, err
	}
	if data, err = make(); err != nil {
		return nil, err
	}
	return data, whole.Write(path, 0o600, false, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

// restore opens the practicals that were kept.
func (s *Service) restore() error {
	kept, err := s.store.Practicals()
	if err != nil {
		return err
	}
	s.last = time.Now()
	now := s.now()
	for _, k := range kept {
		sealed, err := practical.Read(k.ID, k.File)
		if err != nil {
			return err
		}
		p, err := sealed.OpenWith(s.keys.Key())
		if err != nil {
			return err
		}
		r, err := room.New(p, k.File, s.store, s.secret, now)
		if err != nil {
			return err
		}
		r.Beside().SignWith(s.keys)
		s.rooms = append(s.rooms, r)
	}
	return nil
}

// Close closes the folder, once what is done behind has ended.
func (s *Service) Close() error {
	s.work.Wait()
	return s.store.Close()
}

// Staff is who holds the practicals.
func (s *Service) Staff() *staff.Book { return s.staff }

// Key opens the results of the service's practicals.
func (s *Service) Key() cases.Key { return s.keys.Key() }

// Now is the time of the clock on the wall.
func (s *Service) Now() time.Time { return s.now() }

// Make makes a room of a plan, for somebody of the staff. Before a time it takes two people
// to open it; the zero value is none.
func (s *Service) Make(p practical.Plan, who string, opens time.Time) (*room.Room, error) {
	made, err := practical.New(p, s.keys)
	if err != nil {
		return nil, err
	}
	file, err := made.SealOwn(s.keys)
	if err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	r, err := room.Make(made, file, s.store, s.secret, room.Note{Who: who, Opens: opens}, s.now())
	if err != nil {
		return nil, err
	}
	r.Beside().SignWith(s.keys)
	s.rooms = append(s.rooms, r)
	return r, nil
}

// Rooms are the rooms, in the order in which they were made.
func (s *Service) Rooms() []*room.Room {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.rooms)
}

// Room is the room of a practical, by its ID.
func (s *Service) Room(id string) (*room.Room, error) {
	for _, x := range s.Rooms() {
		if x.Plan().ID == id {
			return x, nil
		}
	}
	return nil, ErrNoPractical
}

// Sitting is how many candidates were let in to practicals that are open, and are not
// through.
func (s *Service) Sitting() (n int) {
	for _, r := range s.Rooms() {
		stage, all := r.Board()
		if stage != room.Open && stage != room.Held {
			continue
		}
		for _, b := range all {
			if b.Clock.Stage == wire.Ready || b.Clock.Stage == wire.Running {
				n++
			}
		}
	}
	return n
}

// ErrNoPractical says that there is no such practical.
var ErrNoPractical error = fact.Refuse("host.no-practical")

// beat is how often time is let pass: our choice.
const beat = 250 * time.Millisecond

// Run lets time pass, by a clock that nobody can set, until the context ends. What could
// not be kept is told, and at first which practicals can only be read.
func (s *Service) Run(ctx context.Context, tell func(error)) {
	for _, r := range s.Rooms() {
		if err := r.Broken(); err != nil {
			tell(err)
		}
	}
	if !s.last.IsZero() { // since it was opened nobody was served
		s.idle(time.Since(s.last), tell)
	}
	s.last = time.Now()
	t := time.NewTicker(beat)
	defer t.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-t.C:
		}
		now := time.Now()
		s.pass(now.Sub(s.last), tell)
		s.last = now
	}
}

// pass lets pass what counts of the time since the last beat.
func (s *Service) pass(since time.Duration, tell func(error)) {
	for _, r := range s.Rooms() {
		err := r.Pass(served(since))
		if rest := since - served(since); rest > 0 {
			err = errors.Join(err, room.Idle(r, rest))
		}
		if err != nil {
			tell(err)
		}
	}
}

// idle lets time pass in which nobody was served.
func (s *Service) idle(spent time.Duration, tell func(error)) {
	for _, r := range s.Rooms() {
		if err := room.Idle(r, spent); err != nil {
			tell(err)
		}
	}
}

// served is for how long candidates were served of the time since the last beat: a
// machine that slept, or waited for its disk, served nobody.
func served(since time.Duration) time.Duration { return min(since, time.Second) }
