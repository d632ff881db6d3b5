package room

import (
	"slices"
	"time"

	"conoid/cmd/internal/host/store"
	"conoid/scoring/practical"
)

// write is something that is kept with the line of a deed.
type write = func(store.Writes) error

// draft is a deed at a seat that is not kept yet: how the seat was, and what is to be kept.
type draft struct {
	attempt practical.Attempt
	time    spell
	writes  []write
}

// deed does something at seats, which are locked, and keeps all that comes of it, after
// what else is to be kept, together with the line about it. When it fails nothing was done.
func (b *book) deed(n Note, now time.Time, seats []*seat, do func(*seat) error, with ...write) error {
	all := slices.Clone(with)
	err := drafted(seats, do, &all)
	if err == nil {
		err = b.note(n, now, all...)
	}
	for _, s := range seats {
		if err != nil && s.draft != nil {
			*s.attempt.Attempt, s.time = s.draft.attempt, s.draft.time
		}
		s.draft = nil
	}
	return err
}

// drafted does something at seats, and adds what is to be kept of it.
func drafted(seats []*seat, do func(*seat) error, all *[]write) error {
	for _, s := range seats {
		s.draft = &draft{attempt: *s.attempt.Attempt, time: s.time}
		if err := do(s); err != nil {
			return err
		}
		*all = append(*all, s.draft.writes...)
	}
	return nil
}

// doAll does some writes, one after the other.
func doAll(w store.Writes, do []write) error {
	for _, one := range do {
		if err := one(w); err != nil {
			return err
		}
	}
	return nil
}
