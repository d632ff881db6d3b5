package report

import (
	"strings"
	"unicode/utf8"

	"conoid/render/voice"
)

// page is lines of text in one language.
type page struct {
	strings.Builder
	voice voice.Voice
}

func (p *page) line(s string) { p.WriteString(strings.TrimRight(s, " ") + "\n") }

// say writes the words for an ID as a line.
func (p *page) say(id string, pairs ...any) { p.line(p.voice.Text(id, pairs...)) }

// textWidth is the number of characters in a line.
const textWidth = 100

// hang writes texts in lines, all of which begin where the first word does.
func (p *page) hang(lead string, texts ...string) {
	line, indent := lead, strings.Repeat(" ", utf8.RuneCountInString(lead))
	for i, word := range strings.Fields(strings.Join(texts, " ")) {
		switch {
		case i == 0:
			line += word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > textWidth:
			p.line(line)
			line = indent + word
		default:
			line += " " + word
		}
	}
	p.line(line)
}

// Columns are lines with rows in columns: numbers to the right, but for the names
// in the first column and the notes in the last.
func Columns(rows [][]string) string {
	var p page
	columns := make([]column, len(rows[0]))
	for i := range columns {
		columns[i].right = 0 < i && i < len(columns)-1
		for _, row := range rows {
			columns[i].add(row[i])
		}
	}
	for n := range rows {
		var cells []string
		for i := range columns {
			cells = append(cells, columns[i].cell(n))
		}
		p.line(strings.Join(cells, "   "))
	}
	return p.String()
}

// column is cells that are filled up to one width.
type column struct {
	right bool // they end together
	cells []string
	width int
}

func (c *column) add(s string) {
	c.cells = append(c.cells, s)
	c.width = max(c.width, utf8.RuneCountInString(s))
}

func (c *column) cell(i int) string {
	if c.right {
		return padLeft(c.cells[i], c.width)
	}
	return c.cells[i] + strings.Repeat(" ", c.width-utf8.RuneCountInString(c.cells[i]))
}

func padLeft(s string, width int) string {
	return strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s))) + s
}
