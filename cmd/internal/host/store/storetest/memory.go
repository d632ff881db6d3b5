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
	mu         sync.Mutex
	practicals []store.Practical
	seats      map[[2]string]store.Seat
	lines      map[store.Place][]store.Line
	notes      map[string][][]byte
	papers     map[string]map[string][]byte
	people     []store.Person
	passes     map[string]store.Pass // by their hash
}

var _ store.Store = (*Memory)(nil)

// NewMemory is an empty store.
func NewMemory() *Memory {
	return &Memory{seats: map[[2]string]store.Seat{}, lines: map[store.Place][]store.Line{}, notes: map[string][][]byte{},
		papers: map[string]map[string][]byte{}, passes: map[string]store.Pass{}}
}

// errNobody says that something belongs to nobody who is known.
var errNobody error = fact.Refuse("host.nobody")

func (m *Memory) practical(id string) int {
	return slices.IndexFunc(m.practicals, func(p store.Practical) bool { return p.ID == id })
}

// SetPractical implements store.Store.
func (m *Memory) SetPractical(p store.Practical) error {
	m.mu.Lock()
	defer m.mu.Unlock()
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
	return slices.Clone(m.practicals), nil
}

// SetSeat implements store.Store.
func (m *Memory) SetSeat(s store.Seat) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.practical(s.Practical) < 0 {
		return errNobody
	}
	key := [2]string{s.Practical, s.Candidate}
	s.Record, s.Result = m.seats[key].Record, m.seats[key].Result
	m.seats[key] = s
	return nil
}

// set changes a seat that is there.
func (m *Memory) set(practical, candidate string, change func(*store.Seat)) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	key := [2]string{practical, candidate}
	s, is := m.seats[key]
	if !is {
		return store.ErrTaken
	}
	change(&s)
	m.seats[key] = s
	return nil
}

// SetRecord implements store.Store.
func (m *Memory) SetRecord(practical, candidate string, record []byte) error {
	return m.set(practical, candidate, func(s *store.Seat) { s.Record = bytes.Clone(record) })
}

// SetResult implements store.Store.
func (m *Memory) SetResult(practical, candidate string, result []byte) error {
	return m.set(practical, candidate, func(s *store.Seat) { s.Result = bytes.Clone(result) })
}

// Seat implements store.Store.
func (m *Memory) Seat(practical, candidate string) (store.Seat, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.seats[[2]string{practical, candidate}], nil
}

// Seats implements store.Store.
func (m *Memory) Seats(practical string) (all []store.Seat, err error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, key := range slices.SortedFunc(maps.Keys(m.seats), func(a, b [2]string) int { return slices.Compare(a[:], b[:]) }) {
		if key[0] == practical {
			all = append(all, m.seats[key])
		}
	}
	return all, nil
}

// Append implements store.Store.
func (m *Memory) Append(p store.Place, l store.Line) error {
	m.mu.Lock()
	defer m.mu.Unlock()
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
	return slices.Clone(m.lines[p]), nil
}

// Note implements store.Store.
func (m *Memory) Note(practical string, n int, text []byte) error {
	m.mu.Lock()
	defer m.mu.Unlock()
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
	return slices.Clone(m.notes[practical]), nil
}

// SetPapers implements store.Store.
func (m *Memory) SetPapers(practical string, papers map[string][]byte) error {
	m.mu.Lock()
	defer m.mu.Unlock()
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
	maps.Copy(all, m.papers[practical])
	return all, nil
}

// Erase implements store.Store.
func (m *Memory) Erase(practical, candidate string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
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
