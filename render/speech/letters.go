package speech

import (
	"strings"

	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// missed stands in an answer for a letter that could not even be guessed at.
const missed = "."

// sayRows reads the letters out, row after row.
func sayRows(rows []patient.RowRead, name sitting.ChartName, variant uint32) string {
	if name == sitting.Letter {
		return sayLetter(rows[0].Said, variant)
	}
	if len(rows) == 1 && nothing(rows[0].Said) {
		return phrase("blurred.letters", variant)
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
		v := variant + uint32(i) // so that no two rows running begin alike
		said = append(said, sentence(phrase(key, v, "letters", spelled(row.Said, v))))
	}
	return strings.Join(said, " ")
}

func sayLetter(letter string, variant uint32) string {
	if nothing(letter) {
		return phrase("read.no-letter", variant)
	}
	return sentence(phrase("read.letter", variant, "letters", spelled(letter, variant)))
}

func nothing(row string) bool { return strings.Trim(row, missed) == "" }

// spelled is the letters of a row one by one.
func spelled(row string, variant uint32) string {
	var letters []string
	for letter := range strings.SplitSeq(row, "") {
		if letter == missed {
			letter = phrase("read.missed", variant)
		}
		letters = append(letters, letter)
	}
	return strings.Join(letters, ", ")
}
