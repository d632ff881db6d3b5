package lite

import (
	"database/sql"
	"time"

	"conoid/cmd/internal/host/store"
)

// staff is the staff's part of a store.
type staff struct{ s *Store }

// Staff implements store.Store.
func (s *Store) Staff() store.Staff { return staff{s} }

// exec is a job that is one statement.
func (t staff) exec(query string, args ...any) error {
	return t.s.keep(func(tx *sql.Tx) error { return (&writes{tx: tx}).exec(query, args...) })
}

// SetPerson implements store.Staff.
func (t staff) SetPerson(p store.Person) error {
	return t.exec(`INSERT INTO person (name, role, by, since, ended) VALUES (?, ?, ?, ?, ?)
		ON CONFLICT (name) DO UPDATE SET role = excluded.role, by = excluded.by, since = excluded.since, ended = excluded.ended`,
		p.Name, p.Role, p.By, p.Since.UnixNano(), p.Ended)
}

// People implements store.Staff.
func (t staff) People() ([]store.Person, error) {
	return rows(t.s, func(r *sql.Rows, p *store.Person) error {
		var since int64
		err := r.Scan(&p.Name, &p.Role, &p.By, &since, &p.Ended)
		p.Since = time.Unix(0, since).UTC()
		return err
	}, "SELECT name, role, by, since, ended FROM person ORDER BY rowid")
}

// SetPass implements store.Staff.
func (t staff) SetPass(p store.Pass) error {
	return t.exec(`INSERT INTO pass (hash, kind, name, role, by, made, seen) VALUES (?, ?, ?, ?, ?, ?, ?)
		ON CONFLICT (hash) DO UPDATE SET seen = excluded.seen`, p.Hash, p.Kind, p.Name, p.Role, p.By, p.Made.UnixNano(), p.Seen.UnixNano())
}

// Pass implements store.Staff.
func (t staff) Pass(hash []byte) (store.Pass, error) {
	all, err := rows(t.s, func(r *sql.Rows, p *store.Pass) error {
		var made, seen int64
		err := r.Scan(&p.Hash, &p.Kind, &p.Name, &p.Role, &p.By, &made, &seen)
		p.Made, p.Seen = time.Unix(0, made).UTC(), time.Unix(0, seen).UTC()
		return err
	}, "SELECT hash, kind, name, role, by, made, seen FROM pass WHERE hash = ?", hash)
	if err != nil || len(all) == 0 {
		return store.Pass{}, err
	}
	return all[0], nil
}

// DropPass implements store.Staff.
func (t staff) DropPass(hash []byte) error {
	return t.s.keep(func(tx *sql.Tx) error { return (&writes{tx: tx}).next("DELETE FROM pass WHERE hash = ?", hash) })
}
