package cases

import (
	"bytes"
	"fmt"
	"path"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"conoid/sim/fact"
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

// setKeys are the keys of the file of a set.
var setKeys = []string{setKey, "title", "cases"}

// IsSet reports whether a file is meant for a set and not for a case.
func IsSet(data []byte) bool {
	if len(data) > maxSize {
		return false
	}
	_, ok := parse(data).find(setKey)
	return ok
}

// ReadSet reads the file of a set, but none of its cases; name is the file's
// name for messages. The error is a *Malformed, with every mistake of the file,
// or an *Unsupported for a file of another version.
func ReadSet(name string, data []byte) (*Set, error) {
	if len(data) > maxSize {
		return nil, tooLarge(name, len(data), maxSize)
	}
	text := bytes.TrimPrefix(data, []byte("\ufeff"))
	r := &setReader{document: parse(bytes.Clone(text))}
	if err := r.otherVersion(name, setKey, setVersion); err != nil {
		return nil, err
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
		r.fault(s.at, fact.New("set.no-section", "section", s.path))
	}
	missing := map[string]fact.Fact{
		setKey:  fact.New("case.need.version", "key", setKey, "version", fact.Count(setVersion)),
		"title": fact.New("set.need.title"),
		"cases": fact.New("set.need.cases"),
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
			r.fault(0, fact.New("case.missing", "key", key, "how", how))
		}
	}
}

func (r *setReader) take(e entry) *fault {
	switch e.path {
	case setKey:
		return e.version(setVersion)
	case "title":
		v, f := e.free(mostTitle, false)
		if f == nil && v == "" {
			return e.fault(fact.New("case.empty", "key", e.path))
		}
		r.set.Title = v
		return f
	case "cases":
		return r.list(e)
	}
	if e.section != "" {
		return nil // its section is refused
	}
	return &fault{e.key, fact.New("set.no-key", "key", e.path, "allowed", setKeys, "meant", didYouMean(e.path, setKeys))}
}

func (r *setReader) list(e entry) *fault {
	if e.kind != isList {
		return e.wrongType(fact.New("set.write.files"))
	}
	if n := len(e.items); n == 0 || n > mostInSet {
		return e.fault(fact.New("set.count", "n", fact.Count(n), "most", fact.Count(mostInSet)))
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
	case e.kind != isText:
		return e.wrongType(fact.New("set.write.file"))
	case before[path.Clean(e.text)]:
		return e.fault(fact.New("set.twice", "file", shown(e.text)))
	case !filepath.IsLocal(filepath.FromSlash(e.text)) || strings.Contains(e.text, `\`):
		return e.fault(fact.New("set.elsewhere", "file", shown(e.text)))
	case !strings.HasSuffix(e.text, ".toml") && !strings.HasSuffix(e.text, SealedEnding):
		return e.fault(fact.New("set.no-case", "file", shown(e.text), "ending", SealedEnding))
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
func WriteSet(s *Set, words Words) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "%s = %d\ntitle = %s\n\n%scases = [\n", setKey, setVersion, toText(s.Title), comment(words(fact.New("set.order"))))
	for _, c := range s.Cases {
		fmt.Fprintf(&b, "  %s,\n", toText(c.File))
	}
	b.WriteString("]\n")
	return b.Bytes()
}
