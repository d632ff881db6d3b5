package room

import (
	"errors"
	"sync/atomic"

	"conoid/cmd/internal/host/store"
)

// watched is a store of which is known whether it has failed to keep something.
type watched struct {
	store.Store
	ails atomic.Bool
}

// saw takes in what came of a call that keeps something.
func (w *watched) saw(err error) error {
	if err != nil && !errors.Is(err, store.ErrTaken) {
		w.ails.Store(true)
	}
	return err
}

// SetPractical implements store.Store.
func (w *watched) SetPractical(p store.Practical) error { return w.saw(w.Store.SetPractical(p)) }

// SetSeat implements store.Store.
func (w *watched) SetSeat(s store.Seat) error { return w.saw(w.Store.SetSeat(s)) }

// SetRecord implements store.Store.
func (w *watched) SetRecord(practical, candidate string, record []byte) error {
	return w.saw(w.Store.SetRecord(practical, candidate, record))
}

// SetResult implements store.Store.
func (w *watched) SetResult(practical, candidate string, result []byte) error {
	return w.saw(w.Store.SetResult(practical, candidate, result))
}

// Append implements store.Store.
func (w *watched) Append(p store.Place, l store.Line) error { return w.saw(w.Store.Append(p, l)) }

// Together implements store.Store.
func (w *watched) Together(do func(store.Writes) error) error { return w.saw(w.Store.Together(do)) }
