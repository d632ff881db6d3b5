package main

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"conoid/render/voice"
)

const (
	width  = 80
	margin = 2
)

// teller tells things at a terminal, in a language.
type teller struct {
	out   io.Writer
	voice voice.Voice
}

// say shows a paragraph of what came of a command.
func (t teller) say(text string) {
	fmt.Fprintln(t.out, indent(wrap(text, width-margin), margin))
}

// tell says what there are words for.
func (t teller) tell(id string, pairs ...any) { t.say(t.voice.Text(id, pairs...)) }

// lines shows lines as they are.
func (t teller) lines(text string) {
	fmt.Fprintln(t.out, indent(strings.TrimRight(text, "\n"), margin))
}

func (t teller) blank() { fmt.Fprintln(t.out) }

// item is a line of a table: the ID of its name, and what it says.
type item struct{ name, text string }

// rows are entries with their names in a column.
func (t teller) rows(entries []item) string {
	widest := 0
	for _, e := range entries {
		widest = max(widest, utf8.RuneCountInString(t.voice.Text(e.name)))
	}
	var b strings.Builder
	for _, e := range entries {
		name := t.voice.Text(e.name)
		fmt.Fprintf(&b, "%s%s %s\n", name, strings.Repeat(" ", widest-utf8.RuneCountInString(name)), e.text)
	}
	return b.String()
}

func (t teller) table(entries []item) { t.lines(t.rows(entries)) }
