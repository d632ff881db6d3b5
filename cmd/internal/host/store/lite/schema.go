package lite

// migrations bring a store from each version to the next; PRAGMA user_version
// counts them. One that was released is never changed.
var migrations = []string{`
CREATE TABLE practical (
	id    TEXT PRIMARY KEY,
	stage TEXT NOT NULL,
	file  BLOB NOT NULL
);
CREATE TABLE seat (
	practical TEXT NOT NULL REFERENCES practical(id),
	candidate TEXT NOT NULL,
	ticket    BLOB,
	session   BLOB,
	tab       TEXT NOT NULL,
	record    BLOB,
	result    BLOB,
	PRIMARY KEY (practical, candidate)
) WITHOUT ROWID;
CREATE TABLE line (
	practical TEXT NOT NULL,
	candidate TEXT NOT NULL,
	sat       INTEGER NOT NULL,
	n         INTEGER NOT NULL,
	id        TEXT NOT NULL,
	text      BLOB NOT NULL,
	PRIMARY KEY (practical, candidate, sat, n),
	FOREIGN KEY (practical, candidate) REFERENCES seat(practical, candidate)
) WITHOUT ROWID;
CREATE TABLE note (
	practical TEXT NOT NULL REFERENCES practical(id),
	n         INTEGER NOT NULL,
	text      BLOB NOT NULL,
	PRIMARY KEY (practical, n)
) WITHOUT ROWID;
CREATE TRIGGER line_stays   BEFORE UPDATE ON line BEGIN SELECT RAISE(ABORT, 'a line stays'); END;
CREATE TRIGGER line_is_kept BEFORE DELETE ON line BEGIN SELECT RAISE(ABORT, 'a line stays'); END;
CREATE TRIGGER note_stays   BEFORE UPDATE ON note BEGIN SELECT RAISE(ABORT, 'a note stays'); END;
CREATE TRIGGER note_is_kept BEFORE DELETE ON note BEGIN SELECT RAISE(ABORT, 'a note stays'); END;
`}
