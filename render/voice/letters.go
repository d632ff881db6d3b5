package voice

import (
	"strings"

	"conoid/sim/chart"
	"conoid/sim/patient"
)

// missed stands in an answer for a letter that could not even be guessed at.
const missed = "."

// rows reads the letters out, row after row.
func (v Voice) rows(rows []patient.RowRead, name chart.Name, variant uint32) string {
	if chart.Named(name).Sized {
		return v.letter(rows[0].Said, variant)
	}
	if len(rows) == 1 && nothing(rows[0].Said) {
		return v.phrase("blurred.letters", variant)
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
		way := variant + uint32(i) // so that no two rows running begin alike
		said = append(said, v.spoken(v.phrase(key, way, "letters", v.spelled(row.Said, way))))
	}
	return strings.Join(said, " ")
}

func (v Voice) letter(letter string, variant uint32) string {
	if nothing(letter) {
		return v.phrase("read.no-letter", variant)
	}
	return v.spoken(v.phrase("read.letter", variant, "letters", v.spelled(letter, variant)))
}

func nothing(row string) bool { return strings.Trim(row, missed) == "" }

// spelled is the letters of a row one by one.
func (v Voice) spelled(row string, variant uint32) string {
	var letters []string
	for letter := range strings.SplitSeq(row, "") {
		if letter == missed {
			letter = v.phrase("read.missed", variant)
		}
		letters = append(letters, letter)
	}
	return strings.Join(letters, ", ")
}
