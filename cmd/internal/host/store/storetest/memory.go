package storetest

import (
	"bytes"
	"maps"
	"slices"
	"sync"

	"conoid/cmd/internal/host/store"
	"conoid/sim/fact"
)

// Memory is a store for tests of what uses one: it keeps everything in memory, for as
// long as the value is there. Closing it does nothing, so that it outlives a service.
type Memory struct {
	store.Singly
	mu     sync.Mutex
	tables tables
	people []store.Person
	passes map[string]store.Pass // by their hash
}

// tables are what a store in memory has of its practicals.
type tables struct {
	practicals []store.Practical
	seats      map[[2]string]store.Seat
	lines      map[store.Place][]store.Line
	notes      map[string][][]byte
	papers     map[string]map[string][]byte
}

var _ store.Store = (*Memory)(nil)

// NewMemory is an empty store.
func NewMemory() *Memory {
	m := &Memory{passes: map[string]store.Pass{}, tables: tables{
		seats: map[[2]string]store.Seat{}, lines: map[store.Place][]store.Line{}, notes: map[string][][]byte{}, papers: map[string]map[string][]byte{},
	}}
	m.Singly = m.Together
	return m
}

// Together implements store.Store: the writes are done to a copy.
func (m *Memory) Together(do func(store.Writes) error) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	next := tables{
		slices.Clone(m.tables.practicals), maps.Clone(m.tables.seats), maps.Clone(m.tables.lines), maps.Clone(m.tables.notes), maps.Clone(m.tables.papers),
	}
	err := do(&next)
	if err == nil {
		m.tables = next
	}
	return err
}

// errNobody says that something belongs to nobody who is known.
var errNobody error = fact.Refuse("host.nobody")

func (m *tables) practical(id string) int {
	return slices.IndexFunc(m.practicals, func(p store.Practical) bool { return p.ID == id })
}

// SetPractical implements store.Writes.
func (m *tables) SetPractical(p store.Practical) error {
	if i := m.practical(p.ID); i >= 0 {
		m.practicals[i] = p
		return nil
	}
	m.practicals = append(m.practicals, p)
	return nil
}

// Practicals implements store.Store.
func (m *Memory) Practicals() ([]store.Practical, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return slices.Clone(m.tables.practicals), nil
}

// SetSeat implements store.Writes.
func (m *tables) SetSeat(s store.Seat) error {
	if m.practical(s.Practical) < 0 {
		return errNobody
	}
	key := [2]string{s.Practical, s.Candidate}
	s.Record, s.Result = m.seats[key].Record, m.seats[key].Result
	m.seats[key] = s
	return nil
}

// set changes a seat that is there.
func (m *tables) set(practical, candidate string, change func(*store.Seat)) error {
	key := [2]string{practical, candidate}
	s, is := m.seats[key]
	if !is {
		return store.ErrTaken
	}
	change(&s)
	m.seats[key] = s
	return nil
}

// SetRecord implements store.Writes.
func (m *tables) SetRecord(practical, candidate string, record []byte) error {
	return m.set(practical, candidate, func(s *store.Seat) { s.Record = bytes.Clone(record) })
}

// SetResult implements store.Writes.
func (m *tables) SetResult(practical, candidate string, result []byte) error {
	return m.set(practical, candidate, func(s *store.Seat) { s.Result = bytes.Clone(result) })
}

// Seat implements store.Store.
func (m *Memory) Seat(practical, candidate string) (store.Seat, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.tables.seats[[2]string{practical, candidate}], nil
}

// Seats implements store.Store.
func (m *Memory) Seats(practical string) (all []store.Seat, err error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, key := range slices.SortedFunc(maps.Keys(m.tables.seats), func(a, b [2]string) int { return slices.Compare(a[:], b[:]) }) {
		if key[0] == practical {
			all = append(all, m.tables.seats[key])
		}
	}
	return all, nil
}

// Append implements store.Writes.
func (m *tables) Append(p store.Place, l store.Line) error {
	if _, is := m.seats[[2]string{p.Practical, p.Candidate}]; !is {
		return errNobody
	}
	if l.N != len(m.lines[p]) {
		return store.ErrTaken
	}
	m.lines[p] = append(m.lines[p], l)
	return nil
}

// Lines implements store.Store.
func (m *Memory) Lines(p store.Place) ([]store.Line, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return slices.Clone(m.tables.lines[p]), nil
}

// Note implements store.Writes.
func (m *tables) Note(practical string, n int, text []byte) error {
	if m.practical(practical) < 0 {
		return errNobody
	}
	if n != len(m.notes[practical])+1 {
		return store.ErrTaken
	}
	m.notes[practical] = append(m.notes[practical], bytes.Clone(text))
	return nil
}

// Notes implements store.Store.
func (m *Memory) Notes(practical string) ([][]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return slices.Clone(m.tables.notes[practical]), nil
}

// SetPapers implements store.Writes.
func (m *tables) SetPapers(practical string, papers map[string][]byte) error {
	if m.practical(practical) < 0 {
		return errNobody
	}
	m.papers[practical] = maps.Clone(papers)
	return nil
}

// Papers implements store.Store.
func (m *Memory) Papers(practical string) (map[string][]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	all := map[string][]byte{}
	maps.Copy(all, m.tables.papers[practical])
	return all, nil
}

// Renumber implements store.Writes.
func (m *tables) Renumber(practical, from, to string, logs []int) error {
	was, is := m.seats[[2]string{practical, from}]
	if !is {
		return store.ErrTaken
	}
	was.Candidate = to
	m.seats[[2]string{practical, to}] = was
	for _, i := range logs {
		if all := m.lines[store.Place{Practical: practical, Candidate: from, Case: i}]; len(all) > 0 {
			m.lines[store.Place{Practical: practical, Candidate: to, Case: i}] = all
		}
	}
	return m.Erase(practical, from)
}

// Erase implements store.Writes.
func (m *tables) Erase(practical, candidate string) error {
	delete(m.seats, [2]string{practical, candidate})
	maps.DeleteFunc(m.lines, func(p store.Place, _ []store.Line) bool {
		return p.Practical == practical && p.Candidate == candidate
	})
	return nil
}

// Staff implements store.Store.
func (m *Memory) Staff() store.Staff { return memoryStaff{m} }

// memoryStaff is the staff's part of a store in memory.
type memoryStaff struct{ *Memory }

// SetPerson implements store.Staff.
func (m memoryStaff) SetPerson(p store.Person) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if i := slices.IndexFunc(m.people, func(o store.Person) bool { return o.Name == p.Name }); i >= 0 {
		m.people[i] = p
		return nil
	}
	m.people = append(m.people, p)
	return nil
}

// People implements store.Staff.
func (m memoryStaff) People() ([]store.Person, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return slices.Clone(m.people), nil
}

// SetPass implements store.Staff.
func (m memoryStaff) SetPass(p store.Pass) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.passes[string(p.Hash)] = p
	return nil
}

// Pass implements store.Staff.
func (m memoryStaff) Pass(hash []byte) (store.Pass, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.passes[string(hash)], nil
}

// DropPass implements store.Staff.
func (m memoryStaff) DropPass(hash []byte) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if _, is := m.passes[string(hash)]; !is {
		return store.ErrTaken
	}
	delete(m.passes, string(hash))
	return nil
}

// Close implements store.Store.
func (m *Memory) Close() error { return nil }
