package lite

import (
	"database/sql"

	"conoid/cmd/internal/host/store"
)

// Practicals implements store.Store.
func (s *Store) Practicals() ([]store.Practical, error) {
	return rows(s, func(r *sql.Rows, p *store.Practical) error {
		return r.Scan(&p.ID, &p.Stage, &p.File)
	}, "SELECT id, stage, file FROM practical ORDER BY rowid")
}

// Seats implements store.Store.
func (s *Store) Seats(practical string) ([]store.Seat, error) {
	return s.seats("practical = ?", practical)
}

// Seat implements store.Store.
func (s *Store) Seat(practical, candidate string) (store.Seat, error) {
	all, err := s.seats("practical = ? AND candidate = ?", practical, candidate)
	if err != nil || len(all) == 0 {
		return store.Seat{}, err
	}
	return all[0], nil
}

func (s *Store) seats(where string, args ...any) ([]store.Seat, error) {
	return rows(s, func(r *sql.Rows, t *store.Seat) error {
		return r.Scan(&t.Practical, &t.Candidate, &t.Ticket, &t.Session, &t.Tab, &t.Record, &t.Result)
	}, "SELECT practical, candidate, ticket, session, tab, record, result FROM seat WHERE "+where+" ORDER BY candidate", args...)
}

// Lines implements store.Store.
func (s *Store) Lines(p store.Place) ([]store.Line, error) {
	return rows(s, func(r *sql.Rows, l *store.Line) error {
		return r.Scan(&l.N, &l.ID, &l.Text)
	}, "SELECT n, id, text FROM line WHERE practical = ? AND candidate = ? AND sat = ? ORDER BY n", p.Practical, p.Candidate, p.Case)
}

// Notes implements store.Store.
func (s *Store) Notes(practical string) ([][]byte, error) {
	return rows(s, func(r *sql.Rows, text *[]byte) error {
		return r.Scan(text)
	}, "SELECT text FROM note WHERE practical = ? ORDER BY n", practical)
}

// Papers implements store.Store.
func (s *Store) Papers(practical string) (map[string][]byte, error) {
	type paper struct {
		name string
		data []byte
	}
	all, err := rows(s, func(r *sql.Rows, p *paper) error {
		return r.Scan(&p.name, &p.data)
	}, "SELECT name, data FROM paper WHERE practical = ?", practical)
	papers := map[string][]byte{}
	for _, p := range all {
		papers[p.name] = p.data
	}
	return papers, err
}
