package cases

import (
	"bytes"
	"fmt"
	"path"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"
)

// Set is some cases to be sat one after the other.
type Set struct {
	Title string
	Cases []Listed
}

// Listed is a case of a set.
type Listed struct {
	File         string // from the folder of the set, with slashes
	Line, Column int    // where the set names it, from 1
}

// SetFile is the usual name of the file of a set.
const SetFile = "set.toml"

const (
	setVersion = 1
	setKey     = "conoid-set"
	mostInSet  = 200
)

// setKeys are the keys of a set file.
var setKeys = []string{setKey, "title", "cases"}

// IsSet tells whether a file is meant for a set and not for a case.
func IsSet(data []byte) bool {
	if len(data) > maxSize {
		return false
	}
	_, ok := parse(data).find(setKey)
	return ok
}

// ReadSet reads the file of a set, but none of its cases; name is the file's
// name for messages. The error is a *Malformed, with every mistake of the file,
// or an *Unsupported for a file of a newer version.
func ReadSet(name string, data []byte) (*Set, error) {
	if len(data) > maxSize {
		return nil, &Malformed{name, []Mistake{{1, 1, fmt.Sprintf("the file has %d bytes; allowed are %d", len(data), maxSize)}}}
	}
	text := bytes.TrimPrefix(data, []byte("\ufeff"))
	r := &setReader{document: parse(bytes.Clone(text))}
	if newer := r.newer(name, setKey, setVersion); newer != nil {
		return nil, newer
	}
	r.read()
	if !r.broken {
		r.checkWhole()
	}
	if len(r.faults) > 0 {
		return nil, &Malformed{name, mistakes(r.text, r.faults)}
	}
	return r.place(), nil
}

// setReader makes a set of a document.
type setReader struct {
	*document
	set Set
	at  []int // bytes of the set's cases
}

func (r *setReader) read() {
	for _, s := range r.sections {
		r.fault(s.at, "there is no section %s; a set has none", s.path)
	}
	missing := map[string]string{
		setKey:  fmt.Sprintf("begin the file with %s = %d", setKey, setVersion),
		"title": `write a title, such as title = "Friday"`,
		"cases": `name the files of the cases in their order, such as cases = ["one.toml", "two.toml"]`,
	}
	for _, e := range r.entries {
		if f := r.take(e); f != nil {
			r.faults = append(r.faults, *f)
		}
		delete(missing, e.path)
		delete(missing, nearest(e.path, setKeys))
	}
	for _, key := range setKeys {
		if how, ok := missing[key]; ok && !r.broken {
			r.fault(0, "%s is missing; %s", key, how)
		}
	}
}

func (r *setReader) take(e entry) *fault {
	switch e.path {
	case setKey:
		_, f := e.whole(limits{setVersion, setVersion, ""})
		return f
	case "title":
		v, f := e.words(80, false)
		if f == nil && v == "" {
			return e.fault("title is empty; write a few words")
		}
		r.set.Title = v
		return f
	case "cases":
		return r.list(e)
	}
	if e.section != "" {
		return nil // its section is refused
	}
	return &fault{e.key, fmt.Sprintf("there is no key %s in a set; allowed are %s%s", e.path, strings.Join(setKeys, ", "), didYouMean(e.path, setKeys))}
}

func (r *setReader) list(e entry) *fault {
	if e.kind != unstable.Array {
		return e.wrongType(`a list of files, such as ["one.toml", "two.toml"]`)
	}
	if n := len(e.items); n == 0 || n > mostInSet {
		return e.fault("cases has %d files; allowed are 1 to %d", n, mostInSet)
	}
	before := map[string]bool{}
	for _, item := range e.items {
		if f := checkListed(item, before); f != nil {
			r.faults = append(r.faults, *f)
		}
		before[path.Clean(item.text)] = true
		r.set.Cases = append(r.set.Cases, Listed{File: item.text})
		r.at = append(r.at, item.at)
	}
	return nil
}

func checkListed(e entry, before map[string]bool) *fault {
	switch {
	case e.kind != unstable.String:
		return e.wrongType(`the file's name between quotation marks`)
	case before[path.Clean(e.text)]:
		return e.fault("%s is named twice", shown(e.text))
	case !filepath.IsLocal(filepath.FromSlash(e.text)) || strings.Contains(e.text, `\`):
		return e.fault("%s is not a file in the folder of the set, or in one within it, written with slashes", shown(e.text))
	case !strings.HasSuffix(e.text, ".toml") && !strings.HasSuffix(e.text, SealedEnding):
		return e.fault("%s is not the name of a case; a name ends in .toml or %s", shown(e.text), SealedEnding)
	}
	return nil
}

// place gives the set with the lines and columns of its cases.
func (r *setReader) place() *Set {
	for i, at := range r.at {
		line := bytes.Count(r.text[:at], []byte("\n")) + 1
		start := bytes.LastIndexByte(r.text[:at], '\n') + 1
		r.set.Cases[i].Line, r.set.Cases[i].Column = line, utf8.RuneCount(r.text[start:at])+1
	}
	return &r.set
}

// WriteSet writes s as the file of a set: ReadSet gives the same set back.
func WriteSet(s *Set) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s = %d\ntitle = %s\n\n# The cases, in the order in which they are sat.\ncases = [\n", setKey, setVersion, toText(s.Title))
	for _, c := range s.Cases {
		fmt.Fprintf(&b, "  %s,\n", toText(c.File))
	}
	b.WriteString("]\n")
	return b.Bytes()
}
