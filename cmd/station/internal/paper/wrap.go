package paper

import (
	"cmp"
	"strings"
)

// Wrap breaks a text into lines no wider than width, at spaces where it can. A word that is too long
// for a line is broken between characters; every "\n" ends a line. Several spaces count as one; a
// no-break space is part of its word.
func Wrap(text string, width, size float64, w Weight) []string {
	var lines []string
	for part := range strings.SplitSeq(text, "\n") {
		lines = wrapPart(lines, part, width, size, w)
	}
	return lines
}

// wrapPart appends the lines of a text without line breaks.
func wrapPart(lines []string, text string, width, size float64, w Weight) []string {
	line := ""
	for word := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == ' ' }) {
		if line != "" && Width(line+" "+word, size, w) <= width {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for line = word; Width(line, size, w) > width; {
			n := fitting(line, width, size, w)
			if n == len(line) {
				break
			}
			lines, line = append(lines, line[:n]), line[n:]
		}
	}
	return append(lines, line)
}

// fitting is the number of bytes of the longest beginning of a word that fits, at least one
// character.
func fitting(word string, width, size float64, w Weight) int {
	fit := 0
	for i := range word {
		if fit > 0 && Width(word[:i], size, w) > width {
			return fit
		}
		fit = i
	}
	return cmp.Or(fit, len(word))
}
