package cases

import (
	"bytes"
	"errors"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"conoid/sim/fact"
)

// entry is one key of a file, with its value.
type entry struct {
	path    string // "patient.age"
	number  int    // its place in a list, from 1; 0 for none
	section string // where it stands: "patient"
	key, at int    // bytes of the key and of the value
	kind    kind
	text    string  // a text's content, or a number as it is written
	plain   bool    // the text stands between quotation marks just as it is
	items   []entry // of a list, each with its place and content
}

// kind is what sort of value an entry has.
type kind int

const (
	isDate kind = iota // or a time of day
	isText
	isWhole
	isFraction
	isBool
	isList
	isTable // within a list
)

// kindOf is the only place that knows how the parser calls a value.
func kindOf(n *unstable.Node) kind {
	switch n.Kind {
	case unstable.String:
		return isText
	case unstable.Integer:
		return isWhole
	case unstable.Float:
		return isFraction
	case unstable.Bool:
		return isBool
	case unstable.Array:
		return isList
	case unstable.InlineTable:
		return isTable
	}
	return isDate
}

// name is what the entry is called.
func (e entry) name() any {
	if e.number > 0 {
		return fact.New("case.item", "key", e.path, "n", fact.Count(e.number))
	}
	return e.path
}

// document is a file taken apart, down to single values and their places. The
// package toml alone would stop at the first value of a wrong type, and knows
// no place of a value of the right type.
type document struct {
	text     []byte
	entries  []entry
	sections []entry        // headers and inline tables, without a value
	seen     map[string]int // byte of every key and header
	faults   []fault
	broken   bool // some line is not TOML, so that a missing key may stand there

	section string // being read
	lost    bool   // the header of the section being read was not understood
}

func parse(text []byte) *document {
	d := &document{text: text, seen: map[string]int{}}
	for start := 0; start < len(text); {
		start = d.parseFrom(start)
	}
	return d
}

func (d *document) fault(at int, what fact.Fact) { d.faults = append(d.faults, fault{at, what}) }

// parseFrom reads up to the first line that is not TOML, and returns where to
// go on after it.
func (d *document) parseFrom(start int) int {
	var p unstable.Parser
	p.Reset(d.text[start:])
	for p.NextExpression() {
		d.take(p.Expression(), start)
	}
	var bad *unstable.ParserError
	if !errors.As(p.Error(), &bad) {
		return len(d.text)
	}
	d.broken = true
	at := start + int(p.Range(bad.Highlight).Offset)
	d.fault(at, fact.New("case.toml", "why", bad.Message))
	line := d.text[bytes.LastIndexByte(d.text[:at], '\n')+1:]
	if bytes.HasPrefix(bytes.TrimLeft(line, " \t"), []byte("[")) {
		d.lost = true
	}
	if end := bytes.IndexByte(d.text[at:], '\n'); end >= 0 {
		return at + end + 1
	}
	return len(d.text)
}

func (d *document) take(n *unstable.Node, start int) {
	path, first, _ := keyOf(n.Key())
	switch n.Kind {
	case unstable.Table, unstable.ArrayTable:
		if n.Kind == unstable.ArrayTable {
			d.fault(start+first, fact.New("case.sections", "section", path))
		}
		d.section, d.lost = path, false
		d.table(path, start+first)
	default:
		if !d.lost {
			d.keyValue(n, d.section, start)
		}
	}
}

func (d *document) table(path string, at int) {
	if d.once(path, at) {
		d.sections = append(d.sections, entry{path: path, at: at})
	}
}

func (d *document) keyValue(n *unstable.Node, section string, start int) {
	path, first, end := keyOf(n.Key())
	if section != "" {
		path = section + "." + path
	}
	value := n.Value()
	if value.Kind == unstable.InlineTable {
		d.table(path, start+first)
		for it := value.Children(); it.Next(); {
			d.keyValue(it.Node(), path, start)
		}
		return
	}
	if !d.once(path, start+first) {
		return
	}
	if i := strings.LastIndexByte(path, '.'); i >= 0 && !strings.HasSuffix(path, `"`) {
		section = path[:i]
	}
	e := entry{path: path, section: section, key: start + first, at: d.valueAfter(start + end), kind: kindOf(value), text: string(value.Data)}
	e.plain = bytes.HasPrefix(d.text[e.at:], []byte(strconv.Quote(e.text)))
	if value.Kind == unstable.Array {
		e.items = items(value, path, start)
	}
	d.entries = append(d.entries, e)
}

// items are the values of a list.
func items(list *unstable.Node, path string, start int) (out []entry) {
	for it := list.Children(); it.Next(); {
		n := it.Node()
		if n.Kind == unstable.Comment {
			continue
		}
		out = append(out, entry{path: path, number: len(out) + 1, at: start + int(n.Raw.Offset), kind: kindOf(n), text: string(n.Data)})
	}
	return out
}

// once notes where a key stands, and reports whether it is the first time.
func (d *document) once(path string, at int) bool {
	if before, ok := d.seen[path]; ok {
		line := 1 + bytes.Count(d.text[:before], []byte("\n"))
		d.fault(at, fact.New("case.twice", "key", path, "line", fact.Count(line)))
		return false
	}
	d.seen[path] = at
	return true
}

// valueAfter is the byte of the value of a key that ends at a byte.
func (d *document) valueAfter(end int) int {
	rest := d.text[end:]
	return len(d.text) - len(bytes.TrimLeft(rest, " \t="))
}

// keyOf joins the parts of a key and gives the bytes where it begins and ends.
func keyOf(it unstable.Iterator) (path string, first, end int) {
	var parts []string
	for it.Next() {
		n := it.Node()
		if parts == nil {
			first = int(n.Raw.Offset)
		}
		end = int(n.Raw.Offset + n.Raw.Length)
		part := string(n.Data)
		if strings.ContainsAny(part, ".\"\n") {
			part = strconv.Quote(part)
		}
		parts = append(parts, part)
	}
	return strings.Join(parts, "."), first, end
}

func (d *document) find(path string) (entry, bool) {
	i := slices.IndexFunc(d.entries, func(e entry) bool { return e.path == path })
	if i < 0 {
		return entry{}, false
	}
	return d.entries[i], true
}

// otherVersion is the error for a file whose version, the number of a key, is
// not the one that this program reads: nothing else in it can be judged. A file
// that does not say its version, or not as a number, is left to the others.
func (d *document) otherVersion(name, key string, reads int) error {
	e, ok := d.find(key)
	if !ok || e.kind != isWhole {
		return nil
	}
	v, err := strconv.ParseInt(strings.ReplaceAll(e.text, "_", ""), 0, 64)
	if err == nil && v == int64(reads) {
		return nil
	}
	what := fact.New("case.version", "version", e.text, "reads", fact.Count(reads))
	return &Unsupported{name, mistakes(d.text, []fault{{e.at, what}})[0]}
}

// version refuses what is no version at all; see otherVersion.
func (e entry) version(reads int) *fault {
	if e.kind != isWhole {
		return e.wrongType(fact.New("case.write.version", "version", fact.Count(reads)))
	}
	return nil
}

// checkWhole finds what no single line shows, such as a section that was
// begun as a value. It says nothing of a place that is known to be wrong.
func (d *document) checkWhole() {
	var any map[string]any
	err := toml.Unmarshal(d.text, &any)
	if err == nil {
		return
	}
	at := 0
	var bad *toml.DecodeError
	if errors.As(err, &bad) {
		line, column := bad.Position()
		at = d.offset(line, column)
	}
	if !slices.ContainsFunc(d.faults, func(f fault) bool { return f.at == at }) {
		d.fault(at, fact.New("case.toml", "why", strings.TrimPrefix(err.Error(), "toml: ")))
	}
}

// offset is the byte at a line and a column in bytes, both from 1.
func (d *document) offset(line, column int) int {
	at := 0
	for ; line > 1; line-- {
		at += bytes.IndexByte(d.text[at:], '\n') + 1
	}
	return min(max(at+column-1, 0), len(d.text))
}
