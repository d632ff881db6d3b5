package storetest

import (
	"sync"
	"syscall"

	"conoid/cmd/internal/host/store"
	"conoid/sim/fact"
)

// Brittle is a store whose writes fail as a test wants it.
type Brittle struct {
	store.Store

	// Before is called before the write of a number, from 1. An error is what the write
	// says; kept, whether it is done all the same, as when a disk fails after it.
	Before func(n int, what Write) (kept bool, err error)

	mu sync.Mutex
	n  int
}

// Write is a kind of write.
type Write string

// The kinds of writes.
const (
	Practical Write = "practical"
	Seat      Write = "seat"
	Record    Write = "record"
	Result    Write = "result"
	Line      Write = "line"
	Together  Write = "together" // some at once
)

// ErrDisk is an error as of a disk.
var ErrDisk error = fact.Because(syscall.ENOSPC, "host.folder", "path", "a disk that fails")

// Writes is how many writes were tried.
func (b *Brittle) Writes() int {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.n
}

// write does a write, or what the test wants of it.
func (b *Brittle) write(what Write, do func() error) error {
	b.mu.Lock()
	b.n++
	n, before := b.n, b.Before
	b.mu.Unlock()
	if before == nil {
		return do()
	}
	kept, err := before(n, what)
	if err == nil {
		return do()
	}
	if kept {
		if failed := do(); failed != nil {
			return failed
		}
	}
	return err
}

// SetPractical implements store.Store.
func (b *Brittle) SetPractical(p store.Practical) error {
	return b.write(Practical, func() error { return b.Store.SetPractical(p) })
}

// SetSeat implements store.Store.
func (b *Brittle) SetSeat(s store.Seat) error {
	return b.write(Seat, func() error { return b.Store.SetSeat(s) })
}

// SetRecord implements store.Store.
func (b *Brittle) SetRecord(practical, candidate string, record []byte) error {
	return b.write(Record, func() error { return b.Store.SetRecord(practical, candidate, record) })
}

// SetResult implements store.Store.
func (b *Brittle) SetResult(practical, candidate string, result []byte) error {
	return b.write(Result, func() error { return b.Store.SetResult(practical, candidate, result) })
}

// Append implements store.Store.
func (b *Brittle) Append(p store.Place, l store.Line) error {
	return b.write(Line, func() error { return b.Store.Append(p, l) })
}

// Together implements store.Store.
func (b *Brittle) Together(do func(store.Writes) error) error {
	return b.write(Together, func() error { return b.Store.Together(do) })
}
