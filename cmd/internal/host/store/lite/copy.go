package lite

import (
	"context"
	"database/sql"
	"errors"
	"net/url"
	"os"

	"conoid/cmd/internal/host/store"
)

// lock is that this program alone has the store.
type lock struct {
	db *sql.DB
	tx *sql.Tx // never committed
}

// hold takes the store for this program, until the lock is closed. It lies beside the
// store and not on it, so that the store can be copied meanwhile.
func hold(path string) (lock, error) {
	db, err := sql.Open("sqlite", address(path+"-lock", url.Values{"_txlock": {"exclusive"}}))
	if err != nil {
		return lock{}, err
	}
	tx, err := db.Begin()
	if err != nil {
		return lock{}, errors.Join(plain(err), db.Close())
	}
	return lock{db, tx}, nil
}

// Close lets others have the store.
func (l lock) Close() error { return errors.Join(l.tx.Rollback(), l.db.Close()) }

func address(path string, options url.Values) string {
	return "file:" + (&url.URL{Path: path}).EscapedPath() + "?" + options.Encode()
}

// Copy copies the store in a file into a new one, as it is at one moment, whether a
// program has it open or not.
func Copy(path, to string) error {
	if _, err := os.Stat(path); err != nil {
		return err
	}
	db, err := sql.Open("sqlite", address(path, url.Values{"_pragma": {"busy_timeout(10000)"}}))
	if err != nil {
		return err
	}
	_, err = db.ExecContext(context.Background(), "VACUUM INTO ?", to)
	return errors.Join(err, db.Close())
}

// Sound reports what is damaged in the file itself.
func (s *Store) Sound() error {
	said, err := rows(s, func(r *sql.Rows, text *string) error { return r.Scan(text) }, "PRAGMA integrity_check")
	if err == nil && (len(said) != 1 || said[0] != "ok") {
		err = store.ErrDamaged
	}
	return err
}
