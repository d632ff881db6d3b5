package lite

import "database/sql"

// Full has the file grow no more, as on a disk that is full; and grow again.
func (s *Store) Full(full bool) error {
	if full {
		_, err := s.db.Exec("PRAGMA max_page_count = 1") // SQLite makes it what the file has
		return err
	}
	_, err := s.db.Exec("PRAGMA max_page_count = 1000000")
	return err
}

// FailsAtCommit writes what is refused no earlier than at the commit, with others that
// come at once.
func (s *Store) FailsAtCommit() error {
	return s.keep(func(tx *sql.Tx) error {
		if _, err := tx.Exec("PRAGMA defer_foreign_keys = 1"); err != nil {
			return err
		}
		_, err := tx.Exec("INSERT INTO note (practical, n, text) VALUES ('of nobody', 1, 'x')")
		return err
	})
}
