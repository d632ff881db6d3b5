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
CREATE TABLE paper (
	practical TEXT NOT NULL REFERENCES practical(id),
	name      TEXT NOT NULL,
	data      BLOB NOT NULL,
	PRIMARY KEY (practical, name)
) WITHOUT ROWID;
CREATE TABLE person (
	name  TEXT PRIMARY KEY,
	role  TEXT NOT NULL,
	by    TEXT NOT NULL,
	since INTEGER NOT NULL,
	ended INTEGER NOT NULL
);
CREATE TABLE pass (
	hash BLOB PRIMARY KEY,
	kind TEXT NOT NULL,
	name TEXT NOT NULL,
	role TEXT NOT NULL,
	by   TEXT NOT NULL,
	made INTEGER NOT NULL,
	seen INTEGER NOT NULL
) WITHOUT ROWID;
CREATE TABLE erased (
	practical TEXT NOT NULL,
	candidate TEXT NOT NULL,
	PRIMARY KEY (practical, candidate)
) WITHOUT ROWID;
CREATE TRIGGER line_stays   BEFORE UPDATE ON line BEGIN SELECT RAISE(ABORT, 'a line stays'); END;
CREATE TRIGGER line_is_kept BEFORE DELETE ON line
	WHEN NOT EXISTS (SELECT 1 FROM erased WHERE practical = OLD.practical AND candidate = OLD.candidate)
	BEGIN SELECT RAISE(ABORT, 'a line stays'); END;
CREATE TRIGGER note_stays   BEFORE UPDATE ON note BEGIN SELECT RAISE(ABORT, 'a note stays'); END;
CREATE TRIGGER note_is_kept BEFORE DELETE ON note BEGIN SELECT RAISE(ABORT, 'a note stays'); END;
`}
