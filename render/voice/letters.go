package voice

import (
	"strings"

	"conoid/sim/chart"
	"conoid/sim/patient"
)

// missed stands in an answer for a letter that could not even be guessed at.
const missed = "."

// rows reads the letters out, row after row.
func (s speaker) rows(rows []patient.RowRead, name chart.Name) string {
	if chart.Named(name).Sized {
		return s.letter(rows[0].Said)
	}
	if len(rows) == 1 && nothing(rows[0].Said) {
		return s.phrase("blurred.letters")
	}
	var said []string
	for i, row := range rows {
		key := "read.next"
		switch {
		case nothing(row.Said):
			key = "read.none"
		case i == 0:
			key = "read.row"
		}
		way := speaker{s.voice, s.variant + uint32(i)} // so that no two rows running begin alike
		said = append(said, way.spoken(way.phrase(key, "letters", way.spelled(row.Said))))
	}
	return strings.Join(said, " ")
}

func (s speaker) letter(letter string) string {
	if nothing(letter) {
		return s.phrase("read.no-letter")
	}
	return s.spoken(s.phrase("read.letter", "letters", s.spelled(letter)))
}

func nothing(row string) bool { return strings.Trim(row, missed) == "" }

// spelled is the letters of a row one by one.
func (s speaker) spelled(row string) string {
	var letters []string
	for letter := range strings.SplitSeq(row, "") {
		if letter == missed {
			letter = s.phrase("read.missed")
		}
		letters = append(letters, letter)
	}
	return strings.Join(letters, ", ")
}
