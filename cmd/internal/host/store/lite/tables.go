package lite

import (
	"database/sql"

	"conoid/cmd/internal/host/store"
)

// SetPractical implements store.Store.
func (s *Store) SetPractical(p store.Practical) error {
	return s.exec(`INSERT INTO practical (id, stage, file) VALUES (?, ?, ?)
		ON CONFLICT (id) DO UPDATE SET stage = excluded.stage, file = excluded.file`, p.ID, p.Stage, p.File)
}

// Practicals implements store.Store.
func (s *Store) Practicals() ([]store.Practical, error) {
	return rows(s, func(r *sql.Rows, p *store.Practical) error {
		return r.Scan(&p.ID, &p.Stage, &p.File)
	}, "SELECT id, stage, file FROM practical ORDER BY rowid")
}

// SetSeat implements store.Store.
func (s *Store) SetSeat(t store.Seat) error {
	return s.exec(`INSERT INTO seat (practical, candidate, ticket, session, tab) VALUES (?, ?, ?, ?, ?)
		ON CONFLICT (practical, candidate) DO UPDATE SET ticket = excluded.ticket, session = excluded.session, tab = excluded.tab`,
		t.Practical, t.Candidate, t.Ticket, t.Session, t.Tab)
}

// SetRecord implements store.Store.
func (s *Store) SetRecord(practical, candidate string, record []byte) error {
	return s.next("UPDATE seat SET record = ? WHERE practical = ? AND candidate = ?", record, practical, candidate)
}

// SetResult implements store.Store.
func (s *Store) SetResult(practical, candidate string, result []byte) error {
	return s.next("UPDATE seat SET result = ? WHERE practical = ? AND candidate = ?", result, practical, candidate)
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

// Append implements store.Store.
func (s *Store) Append(p store.Place, l store.Line) error {
	return s.next(`INSERT INTO line (practical, candidate, sat, n, id, text) SELECT ?1, ?2, ?3, ?4, ?5, ?6
		WHERE ?4 = (SELECT count(*) FROM line WHERE practical = ?1 AND candidate = ?2 AND sat = ?3)`,
		p.Practical, p.Candidate, p.Case, l.N, l.ID, l.Text)
}

// Lines implements store.Store.
func (s *Store) Lines(p store.Place) ([]store.Line, error) {
	return rows(s, func(r *sql.Rows, l *store.Line) error {
		return r.Scan(&l.N, &l.ID, &l.Text)
	}, "SELECT n, id, text FROM line WHERE practical = ? AND candidate = ? AND sat = ? ORDER BY n", p.Practical, p.Candidate, p.Case)
}

// Note implements store.Store.
func (s *Store) Note(practical string, n int, text []byte) error {
	return s.next(`INSERT INTO note (practical, n, text) SELECT ?1, ?2, ?3
		WHERE ?2 = (SELECT count(*) + 1 FROM note WHERE practical = ?1)`, practical, n, text)
}

// Notes implements store.Store.
func (s *Store) Notes(practical string) ([][]byte, error) {
	return rows(s, func(r *sql.Rows, text *[]byte) error {
		return r.Scan(text)
	}, "SELECT text FROM note WHERE practical = ? ORDER BY n", practical)
}

// SetPapers implements store.Store.
func (s *Store) SetPapers(practical string, papers map[string][]byte) error {
	return s.keep(func(tx *sql.Tx) error {
		if _, err := tx.Exec("DELETE FROM paper WHERE practical = ?", practical); err != nil {
			return err
		}
		for name, data := range papers {
			if _, err := tx.Exec("INSERT INTO paper (practical, name, data) VALUES (?, ?, ?)", practical, name, data); err != nil {
				return err
			}
		}
		return nil
	})
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

// Erase implements store.Store. What was written ahead is brought into the file, where it
// is overwritten.
func (s *Store) Erase(practical, candidate string) error {
	err := s.keep(func(tx *sql.Tx) error {
		for _, q := range []string{
			"INSERT OR IGNORE INTO erased (practical, candidate) VALUES (?, ?)",
			"DELETE FROM line WHERE practical = ? AND candidate = ?",
			"DELETE FROM seat WHERE practical = ? AND candidate = ?",
		} {
			if _, err := tx.Exec(q, practical, candidate); err != nil {
				return err
			}
		}
		return nil
	})
	if err == nil {
		_, err = s.db.Exec("PRAGMA wal_checkpoint(TRUNCATE)")
	}
	return err
}
