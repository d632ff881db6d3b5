// Package lite keeps a service's data in one SQLite file on a local disk.
package lite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"syscall"

	"modernc.org/sqlite"
	lib "modernc.org/sqlite/lib"

	"conoid/cmd/internal/host/store"
)

// Store is a [store.Store] in a file. One goroutine writes: what came in while it
// was busy is kept together, by one sync of the disk.
type Store struct {
	store.Singly
	db    *sql.DB
	held  lock
	jobs  chan job
	ended chan struct{}
}

var _ store.Store = (*Store)(nil)

// options have each commit on the disk when it returns (synchronous=FULL; in WAL
// mode a lesser one may lose the last ones when the power fails: sqlite.org,
// "PRAGMA synchronous"), and what is deleted overwritten.
var options = url.Values{
	"_pragma": {"journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)", "secure_delete(1)"},
	"_txlock": {"immediate"},
}

// Open opens the store in a file, which is made if it is not there. The error is
// [store.ErrInUse] while another program has it, and [store.ErrNewer] when a newer
// one has written it.
func Open(path string) (*Store, error) {
	held, err := hold(path)
	if err != nil {
		return nil, err
	}
	db, err := sql.Open("sqlite", address(path, options))
	if err != nil {
		return nil, errors.Join(err, held.Close())
	}
	db.SetMaxOpenConns(1) // what is written and what is read wait for one another
	if err := migrate(db); err != nil {
		return nil, errors.Join(plain(err), db.Close(), held.Close())
	}
	s := &Store{db: db, held: held, jobs: make(chan job), ended: make(chan struct{})}
	s.Singly = s.Together
	go s.write()
	return s, nil
}

// plain is an error of the database as people are told it, if it has words for it.
func plain(err error) error {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return err
	}
	switch e.Code() & 0xff {
	case lib.SQLITE_BUSY:
		return store.ErrInUse
	case lib.SQLITE_FULL:
		return syscall.ENOSPC
	case lib.SQLITE_CANTOPEN, lib.SQLITE_READONLY, lib.SQLITE_PERM:
		return fs.ErrPermission
	case lib.SQLITE_NOTADB, lib.SQLITE_CORRUPT:
		return store.ErrDamaged
	}
	return err
}

// migrate brings the tables to the form that this program knows.
func migrate(db *sql.DB) error {
	tx, err := db.Begin()
	if err != nil {
		return err
	}
	defer tx.Rollback() // nothing once it is committed
	var version int
	if err := tx.QueryRow("PRAGMA user_version").Scan(&version); err != nil {
		return err
	}
	if version > len(migrations) {
		return store.ErrNewer
	}
	for _, m := range migrations[version:] {
		if _, err := tx.Exec(m); err != nil {
			return err
		}
	}
	if _, err := tx.Exec(fmt.Sprintf("PRAGMA user_version = %d", len(migrations))); err != nil {
		return err
	}
	return tx.Commit()
}

// Close ends the writing and closes the file.
func (s *Store) Close() error {
	close(s.jobs)
	<-s.ended
	return errors.Join(s.db.Close(), s.held.Close())
}

// rows reads all rows of a query.
func rows[T any](s *Store, scan func(*sql.Rows, *T) error, query string, args ...any) (all []T, err error) {
	r, err := s.db.QueryContext(context.Background(), query, args...)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	for r.Next() {
		var one T
		if err := scan(r, &one); err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	return all, r.Err()
}
