package main

import (
	"strings"
	"unicode/utf8"
)

// wrap breaks text into lines of at most so many characters, at spaces. Line
// breaks that are there already count as spaces, empty lines do not.
func wrap(text string, width int) string {
	paragraphs := strings.Split(text, "\n\n")
	for i, p := range paragraphs {
		paragraphs[i] = strings.Join(wrapLines(p, width), "\n")
	}
	return strings.Join(paragraphs, "\n\n")
}

func wrapLines(text string, width int) (lines []string) {
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width:
			lines, line = append(lines, line), word
		default:
			line += " " + word
		}
	}
	return append(lines, line)
}

// indent puts so many spaces before every line that is not empty.
func indent(text string, n int) string {
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		if l != "" {
			lines[i] = strings.Repeat(" ", n) + l
		}
	}
	return strings.Join(lines, "\n")
}

func second(_ int, err error) error { return err }
