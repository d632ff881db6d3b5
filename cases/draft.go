package cases

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"unicode/utf8"

	"conoid/sim/fact"
)

// Draft is a case file on which somebody works: its bytes as they are, and where
// in them each value stands. A Draft does not change; [Draft.Set] gives another.
type Draft struct {
	data   []byte
	words  Words
	origin []int // for each byte of the text, and for its end, the byte of the file
	*document
}

// NewDraft takes a file apart; words explain the keys that are added to it. What
// is no text is refused. A file with mistakes in it is a draft like another.
func NewDraft(name string, data []byte, words Words) (*Draft, error) {
	if err := checkText(name, data); err != nil {
		return nil, err
	}
	return draftOf(data, words), nil
}

func draftOf(data []byte, words Words) *Draft {
	d := &Draft{data: data, words: words, document: parse(data, wants)}
	d.origin = origins(data, d.text)
	return d
}

// origins is where in a file each byte of its plain text comes from. The two have the
// same characters in the same order, but for a mark at the beginning and line ends of
// two characters.
func origins(data, text []byte) []int {
	out := make([]int, 0, len(text)+1)
	at := len(data) - len(bytes.TrimPrefix(data, []byte("\ufeff")))
	for len(text) > 0 {
		_, size := utf8.DecodeRune(data[at:])
		if bytes.HasPrefix(data[at:], []byte("\r\n")) {
			size = 2
		}
		_, plain := utf8.DecodeRune(text)
		for range plain {
			out = append(out, at)
		}
		at, text = at+size, text[plain:]
	}
	return append(out, len(data))
}

// Bytes is the file.
func (d *Draft) Bytes() []byte { return bytes.Clone(d.data) }

// Values are what the file says, by the paths of the keys: texts as they read, all
// else as it is written. The manner that a section [patient.manner] starts from
// counts as the manner.
func (d *Draft) Values() map[string]string {
	out := map[string]string{}
	for _, e := range d.entries {
		if _, known := keyAt(e.path); known {
			out[e.path] = d.says(e)
		}
	}
	if like, ok := out[likePath]; ok {
		out[mannerPath] = like
		delete(out, likePath)
	}
	return out
}

// The manner stands in one of two places.
const (
	mannerPath = "patient.manner"
	likePath   = mannerPath + ".like"
)

// says is what an entry says.
func (d *Draft) says(e entry) string {
	switch e.kind {
	case isText:
		if k, known := keyAt(e.path); known && k.lines {
			return paragraphs(e.text)
		}
		return e.text
	case isWhole, isFraction, isBool:
		return e.text
	}
	return string(d.text[e.at:d.valueEnd(e)])
}

// valueEnd is the byte behind the value of an entry.
func (d *Draft) valueEnd(e entry) int {
	depth := 0
	for at := e.at; at < len(d.text); {
		end, what := token(d.text, at)
		switch c := d.text[at]; {
		case what == remark && depth == 0:
			return at
		case what != bare && depth == 0:
			return end
		case what == bare && (c == '[' || c == '{'):
			depth++
		case what == bare && (c == ']' || c == '}') && depth > 0:
			if depth--; depth == 0 {
				return end
			}
		case what == bare && depth == 0 && bytes.IndexByte([]byte(" \t\n,]}"), c) >= 0:
			return at
		}
		at = end
	}
	return len(d.text)
}

// Note is a mistake of a draft, at the key that it is about; "" where it is about
// none.
type Note struct {
	Path string
	Mistake
}

// Read reads the draft as [Read] does. The case is nil when there are mistakes.
func (d *Draft) Read(name string) (*Case, []Note) {
	c, err := Read(name, d.data)
	var bad *Malformed
	var other *Unsupported
	switch {
	case errors.As(err, &bad):
		return nil, d.notes(bad.Mistakes)
	case errors.As(err, &other):
		return nil, d.notes([]Mistake{other.Mistake})
	}
	return c, nil
}

func (d *Draft) notes(all []Mistake) (out []Note) {
	for _, m := range all {
		path := d.about(m)
		if path == likePath {
			path = mannerPath
		}
		out = append(out, Note{path, m})
	}
	return out
}

// about is the key that a mistake is about: the one that its words name, or else
// the one in its line, or the first that is needed of the section that they name.
func (d *Draft) about(m Mistake) string {
	if path, ok := named(m.Fact, "key"); ok {
		if _, known := keyAt(path); known {
			return path
		}
	}
	for _, e := range d.entries {
		if _, known := keyAt(e.path); known && d.lineOf(e.key) <= m.Line && m.Line <= d.lineOf(d.valueEnd(e)) {
			return e.path
		}
	}
	name, _ := named(m.Fact, "section")
	for _, s := range schema() {
		if s.name != name {
			continue
		}
		if i := slices.IndexFunc(s.keys, func(k key) bool { return k.need.ID != "" }); i >= 0 && name != "" {
			return s.keys[i].path
		}
	}
	return ""
}

// named is a text among the values of a fact, or of one within it.
func named(f fact.Fact, name string) (string, bool) {
	if s, ok := f.Values[name].(string); ok {
		return s, true
	}
	if inner, ok := f.Values["what"].(fact.Fact); ok {
		return named(inner, name)
	}
	return "", false
}

func (d *Draft) lineOf(at int) int { return 1 + bytes.Count(d.text[:at], []byte("\n")) }

// statements are all of the text, in their order.
func (d *Draft) statements() (out []statement) {
	for start := 0; start < len(d.text); {
		st := statementFrom(d.text, start)
		out = append(out, st)
		start = st.end + 1
	}
	return out
}

// said is what a statement says, without the blanks around it.
func (d *Draft) said(st statement) string { return strings.TrimSpace(string(d.text[st.start:st.end])) }

// statementAt is the statement that a byte is in.
func (d *Draft) statementAt(at int) statement {
	all := d.statements()
	i := slices.IndexFunc(all, func(st statement) bool { return st.start <= at && at <= st.end })
	if i < 0 {
		return statement{start: len(d.text), end: len(d.text)}
	}
	return all[i]
}

// splice is the draft with other text in the place of some.
func (d *Draft) splice(from, to int, with string) *Draft {
	with = strings.ReplaceAll(with, "\n", d.lineEnd())
	return draftOf(slices.Concat(d.data[:d.origin[from]], []byte(with), d.data[d.origin[to]:]), d.words)
}

// lineEnd is how the lines of the file end.
func (d *Draft) lineEnd() string {
	switch {
	case bytes.Contains(d.data, []byte("\r\n")):
		return "\r\n"
	case bytes.ContainsRune(d.data, '\r') && !bytes.ContainsRune(d.data, '\n'):
		return "\r"
	}
	return "\n"
}
