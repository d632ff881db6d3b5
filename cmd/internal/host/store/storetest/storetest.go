// Package storetest has the tests that every store passes.
package storetest

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/internal/host/store"
)

// Run tests a store. The function opens it, each time as it was left.
func Run(t *testing.T, open func(t *testing.T) store.Store) {
	s := &kept{store.Store(nil), open}
	s.Store = open(t)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	for _, c := range []struct {
		name string
		test func(*testing.T, *kept)
	}{
		{"what is kept last counts", replaces},
		{"lines come in order and stay", lines},
		{"notes come in order and stay", notes},
		{"papers are replaced together", papers},
		{"people and what lets them in", people},
		{"some are kept together or not at all", together},
		{"a seat has another number", renumbers},
		{"one of many that race is next", race},
		{"many at once", many},
		{"what is of nobody is not kept", strangers},
	} {
		t.Run(c.name, func(t *testing.T) { c.test(t, s) })
	}
}

// kept is a store that can be closed and opened again.
type kept struct {
	store.Store
	open func(t *testing.T) store.Store
}

func (s *kept) again(t *testing.T) {
	require.NoError(t, s.Close())
	s.Store = s.open(t)
}

// seat keeps a practical and a seat of it.
func (s *kept) seat(t *testing.T, practical, candidate string) store.Place {
	require.NoError(t, s.SetPractical(store.Practical{ID: practical, Stage: "open", File: []byte("x")}))
	require.NoError(t, s.SetSeat(store.Seat{Practical: practical, Candidate: candidate}))
	return store.Place{Practical: practical, Candidate: candidate}
}

func line(n int) store.Line {
	return store.Line{N: n, ID: fmt.Sprint("id", n), Text: fmt.Appendf(nil, "line %d\n", n)}
}

func replaces(t *testing.T, s *kept) {
	require.NoError(t, s.SetPractical(store.Practical{ID: "P2", Stage: "scheduled", File: []byte("a\x00b")}))
	require.NoError(t, s.SetPractical(store.Practical{ID: "P1", Stage: "open", File: []byte("z")}))
	require.NoError(t, s.SetPractical(store.Practical{ID: "P2", Stage: "open", File: []byte("c")}))
	b := store.Seat{Practical: "P2", Candidate: "B2", Ticket: []byte{1}}
	require.NoError(t, s.SetSeat(b))
	require.NoError(t, s.SetSeat(store.Seat{Practical: "P2", Candidate: "A1"}))
	require.NoError(t, s.SetRecord("P2", "B2", []byte("the record")))
	require.NoError(t, s.SetResult("P2", "B2", []byte("the result")))
	b.Ticket, b.Session, b.Tab = nil, []byte{2, 3}, "tab"
	require.NoError(t, s.SetSeat(b))
	b.Record, b.Result = []byte("the record"), []byte("the result")

	s.again(t)
	all, err := s.Practicals()
	require.NoError(t, err)
	all = slices.DeleteFunc(all, func(p store.Practical) bool { return !strings.HasPrefix(p.ID, "P") })
	assert.Equal(t, []store.Practical{{ID: "P2", Stage: "open", File: []byte("c")}, {ID: "P1", Stage: "open", File: []byte("z")}}, all)
	seats, err := s.Seats("P2")
	require.NoError(t, err)
	assert.Equal(t, []store.Seat{{Practical: "P2", Candidate: "A1"}, b}, seats)
	one, err := s.Seat("P2", "B2")
	require.NoError(t, err)
	assert.Equal(t, b, one)
	one, err = s.Seat("P2", "C3")
	require.NoError(t, err)
	assert.Zero(t, one)
}

func strangers(t *testing.T, s *kept) {
	s.seat(t, "S", "1")
	assert.Error(t, s.SetSeat(store.Seat{Practical: "none", Candidate: "1"}))
	assert.ErrorIs(t, s.SetRecord("S", "2", []byte("x")), store.ErrTaken)
	assert.ErrorIs(t, s.SetResult("S", "2", []byte("x")), store.ErrTaken)
	assert.Error(t, s.Append(store.Place{Practical: "S", Candidate: "2"}, line(0)))
	assert.Error(t, s.Note("none", 1, []byte("x")))
}

func lines(t *testing.T, s *kept) {
	p := s.seat(t, "L", "B2")
	other := p
	other.Case = 1
	assert.ErrorIs(t, s.Append(p, line(1)), store.ErrTaken, "the header is missing")
	require.NoError(t, s.Append(p, line(0)))
	require.NoError(t, s.Append(p, line(1)))
	assert.ErrorIs(t, s.Append(p, line(1)), store.ErrTaken)
	assert.ErrorIs(t, s.Append(p, line(3)), store.ErrTaken)
	require.NoError(t, s.Append(other, line(0)))
	s.again(t)
	all, err := s.Lines(p)
	require.NoError(t, err)
	assert.Equal(t, []store.Line{line(0), line(1)}, all)
}

func notes(t *testing.T, s *kept) {
	s.seat(t, "N", "1")
	require.NoError(t, s.Note("N", 1, []byte("one")))
	assert.ErrorIs(t, s.Note("N", 1, []byte("again")), store.ErrTaken)
	assert.ErrorIs(t, s.Note("N", 3, []byte("three")), store.ErrTaken)
	require.NoError(t, s.Note("N", 2, []byte("two")))
	s.again(t)
	all, err := s.Notes("N")
	require.NoError(t, err)
	assert.Equal(t, [][]byte{[]byte("one"), []byte("two")}, all)
}

func papers(t *testing.T, s *kept) {
	s.seat(t, "W", "1")
	s.seat(t, "W2", "1")
	require.NoError(t, s.SetPapers("W", map[string][]byte{"a": []byte("1"), "b": []byte("2")}))
	require.NoError(t, s.SetPapers("W2", map[string][]byte{"a": []byte("other")}))
	require.NoError(t, s.SetPapers("W", map[string][]byte{"a": []byte("3")}))
	assert.Error(t, s.SetPapers("none", map[string][]byte{"a": []byte("1")}))
	s.again(t)
	all, err := s.Papers("W")
	require.NoError(t, err)
	assert.Equal(t, map[string][]byte{"a": []byte("3")}, all)
	require.NoError(t, s.SetPapers("W", nil))
	all, err = s.Papers("W")
	require.NoError(t, err)
	assert.Empty(t, all)
}

func people(t *testing.T, s *kept) {
	at := time.Date(2031, 4, 4, 9, 0, 0, 123, time.UTC)
	b := store.Person{Name: "B", Role: "assessor", Since: at}
	a := store.Person{Name: "A", Role: "auditor", By: "B", Since: at}
	require.NoError(t, s.Staff().SetPerson(b))
	require.NoError(t, s.Staff().SetPerson(a))
	b.Ended = true
	require.NoError(t, s.Staff().SetPerson(b))
	p := store.Pass{Kind: store.Link, Hash: []byte{1, 2}, Role: "auditor", By: "B", Made: at, Seen: at}
	require.NoError(t, s.Staff().SetPass(p))
	p.Seen = at.Add(time.Minute)
	require.NoError(t, s.Staff().SetPass(p))
	s.again(t)
	all, err := s.Staff().People()
	require.NoError(t, err)
	assert.Equal(t, []store.Person{b, a}, all)
	got, err := s.Staff().Pass([]byte{1, 2})
	require.NoError(t, err)
	assert.Equal(t, p, got)
	require.NoError(t, s.Staff().DropPass([]byte{1, 2}))
	assert.ErrorIs(t, s.Staff().DropPass([]byte{1, 2}), store.ErrTaken)
	got, err = s.Staff().Pass([]byte{1, 2})
	require.NoError(t, err)
	assert.Zero(t, got)
}

// all is everything that a store has of a practical.
func (s *kept) all(t *testing.T, id string) (all []any) {
	add := func(v any, err error) {
		require.NoError(t, err)
		all = append(all, v)
	}
	practicals, err := s.Practicals()
	add(slices.DeleteFunc(practicals, func(p store.Practical) bool { return p.ID != id }), err)
	seats, err := s.Seats(id)
	add(seats, err)
	for _, seat := range seats {
		lines, err := s.Lines(store.Place{Practical: id, Candidate: seat.Candidate})
		add(lines, err)
	}
	notes, err := s.Notes(id)
	add(notes, err)
	papers, err := s.Papers(id)
	add(papers, err)
	return all
}

// What is written together is there together, and nothing of it when one of it fails,
// however much was written before that.
func together(t *testing.T, s *kept) {
	p := s.seat(t, "T", "1")
	require.NoError(t, s.SetPapers("T", map[string][]byte{"a": []byte("1")}))
	writes := []func(store.Writes) error{
		func(w store.Writes) error {
			return w.SetPractical(store.Practical{ID: "T", Stage: "closed", File: []byte("y")})
		},
		func(w store.Writes) error { return w.SetSeat(store.Seat{Practical: "T", Candidate: "2", Tab: "tab"}) },
		func(w store.Writes) error { return w.SetRecord("T", "2", []byte("record")) },
		func(w store.Writes) error { return w.SetResult("T", "1", []byte("result")) },
		func(w store.Writes) error { return w.Append(p, line(0)) },
		func(w store.Writes) error { return w.SetPapers("T", map[string][]byte{"b": []byte("2")}) },
		func(w store.Writes) error { return w.Note("T", 1, []byte("one")) },
		func(w store.Writes) error { return w.Note("T", 2, []byte("two")) },
		func(w store.Writes) error { return w.Renumber("T", "2", "3", nil) },
		func(w store.Writes) error { return w.Erase("T", "1") },
	}
	before := s.all(t, "T")
	do := func(last error) error {
		return s.Together(func(w store.Writes) error {
			for _, write := range writes {
				if err := write(w); err != nil {
					return err
				}
			}
			return last
		})
	}
	assert.ErrorIs(t, do(store.ErrTaken), store.ErrTaken)
	assert.Equal(t, before, s.all(t, "T"))
	s.again(t)
	assert.Equal(t, before, s.all(t, "T"))
	for i := range writes { // the second note is not the next, and all before it is undone
		assert.Error(t, s.Together(func(w store.Writes) error {
			for _, write := range writes[:i] {
				if err := write(w); err != nil {
					return err
				}
			}
			return w.Note("T", 9, []byte("nine"))
		}))
	}
	assert.Equal(t, before, s.all(t, "T"))
	require.NoError(t, do(nil))
	s.again(t)
	assert.Equal(t, []any{
		[]store.Practical{{ID: "T", Stage: "closed", File: []byte("y")}},
		[]store.Seat{{Practical: "T", Candidate: "3", Tab: "tab", Record: []byte("record")}}, []store.Line(nil),
		[][]byte{[]byte("one"), []byte("two")}, map[string][]byte{"b": []byte("2")},
	}, s.all(t, "T"))
}

// The logs that are named go along and no others; the number before is free, and what is
// written there next stays.
func renumbers(t *testing.T, s *kept) {
	p := s.seat(t, "Q", "1")
	other := store.Place{Practical: "Q", Candidate: "1", Case: 1}
	require.NoError(t, s.SetSeat(store.Seat{Practical: "Q", Candidate: "1", Session: []byte{1}, Tab: "tab"}))
	require.NoError(t, s.SetRecord("Q", "1", []byte("record")))
	require.NoError(t, s.SetSeat(store.Seat{Practical: "Q", Candidate: "2", Ticket: []byte{2}}))
	for n := range 3 {
		require.NoError(t, s.Append(p, line(n)))
	}
	require.NoError(t, s.Append(other, line(0)))
	assert.ErrorIs(t, s.Renumber("Q", "3", "4", nil), store.ErrTaken)
	require.NoError(t, s.Renumber("Q", "1", "2", []int{0}))
	s.again(t)
	seats, err := s.Seats("Q")
	require.NoError(t, err)
	assert.Equal(t, []store.Seat{{Practical: "Q", Candidate: "2", Session: []byte{1}, Tab: "tab", Record: []byte("record")}}, seats)
	at := func(p store.Place) []store.Line {
		all, err := s.Lines(p)
		require.NoError(t, err)
		return all
	}
	p.Candidate = "2"
	assert.Equal(t, []store.Line{line(0), line(1), line(2)}, at(p))
	p.Case = 1
	assert.Empty(t, at(p))
	p.Case = 0
	require.NoError(t, s.Append(p, line(3)))
	free := s.seat(t, "Q", "1")
	assert.Empty(t, at(free))
	assert.Empty(t, at(other))
	require.NoError(t, s.Append(free, line(0)))
}

func race(t *testing.T, s *kept) {
	p := s.seat(t, "R", "1")
	var won atomic.Int32
	var all sync.WaitGroup
	for range 16 {
		all.Go(func() {
			if s.Append(p, line(0)) == nil {
				won.Add(1)
			}
		})
	}
	all.Wait()
	assert.EqualValues(t, 1, won.Load())
}

func many(t *testing.T, s *kept) {
	s.seat(t, "M", "0")
	var all sync.WaitGroup
	for i := range 40 {
		all.Go(func() {
			p := store.Place{Practical: "M", Candidate: fmt.Sprint(i)}
			assert.NoError(t, s.SetSeat(store.Seat{Practical: p.Practical, Candidate: p.Candidate}))
			for n := range 10 {
				assert.NoError(t, s.Append(p, line(n)))
			}
			assert.ErrorIs(t, s.Append(p, line(3)), store.ErrTaken)
		})
	}
	all.Wait()
	for i := range 40 {
		all, err := s.Lines(store.Place{Practical: "M", Candidate: fmt.Sprint(i)})
		require.NoError(t, err)
		assert.Len(t, all, 10)
	}
}
