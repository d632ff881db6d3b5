// Package voice puts what there is to be told into words, in one language. It
// is the only room that knows words: whoever decides returns a [fact.Fact], an
// error that is one, or a value of its own, and a [Voice] says it.
//
//	v := voice.In("de")
//	fmt.Println(v.Sentence(v.Error(err)))
//
// The words themselves are in assets/words. In them {name} stands for a value,
// written as its type and the language have it; {n:step|steps} for a number and
// the word that goes with it; and {cell/dat} for the form "dat" of a value that
// has a word of its own.
package voice

import (
	"errors"
	"io/fs"
	"slices"
	"strings"
	"syscall"
	"unicode"
	"unicode/utf8"

	"conoid/assets"
	"conoid/sim/chart"
	"conoid/sim/fact"
)

// Voice speaks one language.
type Voice struct {
	Language string

	hours bool // lines are called by the hours of a clock
}

// By is the voice in a room whose dials are labelled in a way: where they have hours, the
// label of a line and the place of the arrow are told as hours. Axes of lenses stay in
// degrees.
func (v Voice) By(l chart.Labels) Voice {
	v.hours = l == chart.ByHour
	return v
}

// English is the voice that everything is written for first.
var English = Voice{Language: assets.English}

// In is the voice of a language; English when there are no words for it.
func In(language string) Voice {
	if slices.Contains(assets.Languages(), language) {
		return Voice{Language: language}
	}
	return English
}

// Has reports whether there are words for an ID.
func (v Voice) Has(id string) bool { return len(assets.Words(v.Language, id)) > 0 }

// Ways are all the ways to say an ID, with nothing filled in.
func (v Voice) Ways(id string) []string { return assets.Words(v.Language, id) }

// Text is the words for an ID, with values filled in that are given in pairs of
// a name and a value.
func (v Voice) Text(id string, pairs ...any) string { return v.Say(fact.New(id, pairs...)) }

// Say is the words for a fact. A fact that there are no words for is told as
// programmers have it; tests see to it that there is none.
func (v Voice) Say(f fact.Fact) string { return v.way(f, 0) }

// way is one of the ways to say a fact; the same variant is always the same way.
func (v Voice) way(f fact.Fact, variant uint32) string {
	ways := assets.Words(v.Language, f.ID)
	if len(ways) == 0 {
		return f.String()
	}
	return v.fill(ways[variant%uint32(len(ways))], f.Values)
}

// Error is the words for an error, without a capital and without a full stop,
// so that it can be part of a sentence. Errors that were joined have a line
// each. What does not come from this project is told as it is.
func (v Voice) Error(err error) string {
	for e := err; e != nil; e = errors.Unwrap(e) {
		switch e := e.(type) {
		case fact.Told:
			f := e.Tell()
			if cause := errors.Unwrap(e); cause != nil {
				f = f.With("cause", cause)
			}
			return v.Say(f)
		case interface{ Unwrap() []error }:
			var lines []string
			for _, one := range e.Unwrap() {
				lines = append(lines, v.Error(one))
			}
			return strings.Join(lines, "\n")
		}
	}
	for _, s := range systems {
		if errors.Is(err, s.err) {
			return v.Text(s.id)
		}
	}
	return err.Error()
}

// systems are the errors of the machine that people meet.
var systems = []struct {
	err error
	id  string
}{
	{fs.ErrNotExist, "system.not-there"},
	{fs.ErrExist, "system.there-already"},
	{fs.ErrPermission, "system.not-allowed"},
	{syscall.ENOSPC, "system.full"},
	{syscall.EISDIR, "system.folder"},
}

// Sentence begins with a capital and ends with a full stop.
func (v Voice) Sentence(s string) string {
	if s == "" {
		return s
	}
	if last, _ := utf8.DecodeLastRuneInString(s); !strings.ContainsRune(".!?”“", last) {
		s += "."
	}
	return v.Capital(s)
}

// Capital begins with a capital.
func (v Voice) Capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// fill puts values into the places of a template: {name}, {name/form} or
// {name:one|many}. A place without a value stays as it is, so that it is seen.
func (v Voice) fill(template string, values map[string]any) string {
	before, after, more := strings.Cut(template, "{")
	if !more {
		return template
	}
	var out strings.Builder
	for ; more; before, after, more = strings.Cut(after, "{") {
		out.WriteString(before)
		inside, rest, closed := strings.Cut(after, "}")
		p, is := placeOf(inside)
		value, ok := values[p.name]
		if !closed || !is || !ok {
			out.WriteByte('{')
			continue
		}
		out.WriteString(style{v}.put(p, value))
		after = rest
	}
	out.WriteString(before)
	return out.String()
}

// place is where a value is filled in.
type place struct{ name, form, one, many string }

// placeOf reads what stands between braces. It is done by hand, since a screen fills in
// hundreds of them in every frame.
func placeOf(inside string) (p place, is bool) {
	end := 0
	for end < len(inside) && named(inside[end], end) {
		end++
	}
	p.name = inside[:end]
	switch how := inside[end:]; {
	case end == 0:
		return p, false
	case how == "":
		return p, true
	case how[0] == '/':
		p.form = how[1:]
		return p, p.form != "" && strings.Trim(p.form, "abcdefghijklmnopqrstuvwxyz") == ""
	case how[0] == ':':
		p.one, p.many, is = strings.Cut(how[1:], "|")
	}
	return p, is
}

// named reports whether a byte can stand at a place of a name.
func named(b byte, at int) bool {
	return 'a' <= b && b <= 'z' || at > 0 && ('0' <= b && b <= '9' || b == '_')
}

// put is a value as its place has it.
func (s style) put(p place, value any) string {
	if p.one != "" || p.many != "" {
		return s.counted(value, p.one, p.many)
	}
	return s.value(value, p.form)
}
