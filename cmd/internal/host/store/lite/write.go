package lite

import (
	"database/sql"

	"conoid/cmd/internal/host/store"
)

// job is something to be written, and who waits for it.
type job struct {
	do   func(*sql.Tx) error
	done chan error
}

// together is how many jobs one commit takes at most: our choice.
const together = 64

// keep has something written, and returns when it is kept.
func (s *Store) keep(do func(*sql.Tx) error) error {
	j := job{do, make(chan error, 1)}
	s.jobs <- j
	return <-j.done
}

// write writes until there is nothing more to come.
func (s *Store) write() {
	defer close(s.ended)
	for first := range s.jobs {
		batch := []job{first}
	more:
		for len(batch) < together {
			select {
			case j, ok := <-s.jobs:
				if !ok {
					break more
				}
				batch = append(batch, j)
			default:
				break more
			}
		}
		s.commit(batch)
	}
}

// commit keeps a batch by one commit. A job that fails takes nothing of the others
// with it.
func (s *Store) commit(batch []job) {
	errs := make([]error, len(batch))
	err := func() error {
		tx, err := s.db.Begin()
		if err != nil {
			return err
		}
		defer tx.Rollback() // nothing once it is committed
		for i, j := range batch {
			if errs[i], err = apart(tx, j.do); err != nil {
				return err
			}
		}
		return tx.Commit()
	}()
	for i, j := range batch {
		if err != nil {
			errs[i] = err
		}
		j.done <- plain(errs[i])
	}
}

// apart does a job so that all of it is undone when it fails; err says that the
// whole batch cannot go on.
func apart(tx *sql.Tx, do func(*sql.Tx) error) (failed, err error) {
	if _, err := tx.Exec("SAVEPOINT job"); err != nil {
		return nil, err
	}
	if failed = do(tx); failed != nil {
		if _, err := tx.Exec("ROLLBACK TO job"); err != nil {
			return nil, err
		}
	}
	_, err = tx.Exec("RELEASE job")
	return failed, err
}

// Together implements store.Store. What was written ahead is brought into the file after
// something was removed, which is overwritten there.
func (s *Store) Together(do func(store.Writes) error) error {
	w := &writes{}
	err := s.keep(func(tx *sql.Tx) error {
		w.tx = tx
		return do(w)
	})
	if err == nil && w.removed {
		_, err = s.db.Exec("PRAGMA wal_checkpoint(TRUNCATE)")
	}
	return err
}
