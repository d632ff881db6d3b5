package lite

import (
	"database/sql"

	"conoid/cmd/internal/host/store"
)

// writes are within one commit.
type writes struct {
	tx      *sql.Tx
	removed bool // something was
}

var _ store.Writes = (*writes)(nil)

// SetPractical implements store.Writes.
func (w *writes) SetPractical(p store.Practical) error {
	return w.exec(`INSERT INTO practical (id, stage, file) VALUES (?, ?, ?)
		ON CONFLICT (id) DO UPDATE SET stage = excluded.stage, file = excluded.file`, p.ID, p.Stage, p.File)
}

// SetSeat implements store.Writes.
func (w *writes) SetSeat(t store.Seat) error {
	return w.exec(`INSERT INTO seat (practical, candidate, ticket, session, tab) VALUES (?, ?, ?, ?, ?)
		ON CONFLICT (practical, candidate) DO UPDATE SET ticket = excluded.ticket, session = excluded.session, tab = excluded.tab`,
		t.Practical, t.Candidate, t.Ticket, t.Session, t.Tab)
}

// SetRecord implements store.Writes.
func (w *writes) SetRecord(practical, candidate string, record []byte) error {
	return w.next("UPDATE seat SET record = ? WHERE practical = ? AND candidate = ?", record, practical, candidate)
}

// SetResult implements store.Writes.
func (w *writes) SetResult(practical, candidate string, result []byte) error {
	return w.next("UPDATE seat SET result = ? WHERE practical = ? AND candidate = ?", result, practical, candidate)
}

// Append implements store.Writes.
func (w *writes) Append(p store.Place, l store.Line) error {
	return w.next(`INSERT INTO line (practical, candidate, sat, n, id, text) SELECT ?1, ?2, ?3, ?4, ?5, ?6
		WHERE ?4 = (SELECT count(*) FROM line WHERE practical = ?1 AND candidate = ?2 AND sat = ?3)`,
		p.Practical, p.Candidate, p.Case, l.N, l.ID, l.Text)
}

// Note implements store.Writes.
func (w *writes) Note(practical string, n int, text []byte) error {
	return w.next(`INSERT INTO note (practical, n, text) SELECT ?1, ?2, ?3
		WHERE ?2 = (SELECT count(*) + 1 FROM note WHERE practical = ?1)`, practical, n, text)
}

// SetPapers implements store.Writes.
func (w *writes) SetPapers(practical string, papers map[string][]byte) error {
	if err := w.exec("DELETE FROM paper WHERE practical = ?", practical); err != nil {
		return err
	}
	for name, data := range papers {
		if err := w.exec("INSERT INTO paper (practical, name, data) VALUES (?, ?, ?)", practical, name, data); err != nil {
			return err
		}
	}
	return nil
}

// Renumber implements store.Writes.
func (w *writes) Renumber(practical, from, to string, logs []int) error {
	if err := w.next(`INSERT INTO seat (practical, candidate, ticket, session, tab, record, result)
		SELECT practical, ?3, ticket, session, tab, record, result FROM seat WHERE practical = ?1 AND candidate = ?2
		ON CONFLICT (practical, candidate) DO UPDATE SET ticket = excluded.ticket, session = excluded.session, tab = excluded.tab,
		record = excluded.record, result = excluded.result`, practical, from, to); err != nil {
		return err
	}
	for _, i := range logs {
		if err := w.exec(`INSERT INTO line (practical, candidate, sat, n, id, text)
			SELECT practical, ?3, sat, n, id, text FROM line WHERE practical = ?1 AND candidate = ?2 AND sat = ?4`, practical, from, to, i); err != nil {
			return err
		}
	}
	if err := w.Erase(practical, from); err != nil {
		return err
	}
	// The lines of whoever sits under that number next stay.
	return w.exec("DELETE FROM erased WHERE practical = ? AND candidate = ?", practical, from)
}

// Erase implements store.Writes.
func (w *writes) Erase(practical, candidate string) error {
	w.removed = true
	for _, q := range []string{
		"INSERT OR IGNORE INTO erased (practical, candidate) VALUES (?, ?)",
		"DELETE FROM line WHERE practical = ? AND candidate = ?",
		"DELETE FROM seat WHERE practical = ? AND candidate = ?",
	} {
		if err := w.exec(q, practical, candidate); err != nil {
			return err
		}
	}
	return nil
}

// exec does a statement.
func (w *writes) exec(query string, args ...any) error {
	_, err := w.tx.Exec(query, args...)
	return err
}

// next does a statement that changes one row, or finds that it is not its turn.
func (w *writes) next(query string, args ...any) error {
	r, err := w.tx.Exec(query, args...)
	if err != nil {
		return err
	}
	if n, err := r.RowsAffected(); err != nil || n == 1 {
		return err
	}
	return store.ErrTaken
}
