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
	"regexp"
	"slices"
	"strings"
	"syscall"
	"unicode"
	"unicode/utf8"

	"conoid/assets"
	"conoid/sim/fact"
)

// Voice speaks one language.
type Voice struct{ Language string }

// English is the voice that everything is written for first.
var English = Voice{assets.English}

// In is the voice of a language; English when there are no words for it.
func In(language string) Voice {
	if slices.Contains(assets.Languages(), language) {
		return Voice{language}
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

// place is where a value is filled in: {name}, {name/form} or {name:one|many}.
var place = regexp.MustCompile(`\{([a-z][a-z0-9_]*)(?:/([a-z]+)|:([^|}]*)\|([^}]*))?\}`)

// fill puts values into the places of a template. A place without a value stays
// as it is, so that it is seen.
func (v Voice) fill(template string, values map[string]any) string {
	return place.ReplaceAllStringFunc(template, func(at string) string {
		m := place.FindStringSubmatch(at)
		value, ok := values[m[1]]
		switch {
		case !ok:
			return at
		case m[3] != "" || m[4] != "":
			return style{v}.counted(value, m[3], m[4])
		}
		return style{v}.value(value, m[2])
	})
}
