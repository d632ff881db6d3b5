package cases

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// entry is one key of a file, with its value.
type entry struct {
	path    string // "patient.age"
	section string // where it stands: "patient"
	key, at int    // bytes of the key and of the value
	kind    unstable.Kind
	text    string  // a text's content, or a number as it is written
	plain   bool    // the text stands between quotation marks just as it is
	items   []entry // of a list, each with its path, place and content
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

func (d *document) fault(at int, format string, args ...any) {
	d.faults = append(d.faults, fault{at, fmt.Sprintf(format, args...)})
}

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
	d.fault(at, "not TOML: %s", bad.Message)
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
			d.fault(start+first, "[[%s]] makes a list of sections; write [%s]", path, path)
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
	e := entry{path: path, section: section, key: start + first, at: d.valueAfter(start + end), kind: value.Kind, text: string(value.Data)}
	e.plain = bytes.HasPrefix(d.text[e.at:], []byte(strconv.Quote(e.text)))
	if value.Kind == unstable.Array {
		e.items = items(value, path, start)
	}
	d.entries = append(d.entries, e)
}

// items are the values of a list. Each is called by its place in it, from 1.
func items(list *unstable.Node, path string, start int) (out []entry) {
	for it := list.Children(); it.Next(); {
		n := it.Node()
		if n.Kind == unstable.Comment {
			continue
		}
		name := fmt.Sprintf("%s, number %d,", path, len(out)+1)
		out = append(out, entry{path: name, at: start + int(n.Raw.Offset), kind: n.Kind, text: string(n.Data)})
	}
	return out
}

// once notes where a key stands, and tells whether it is the first time.
func (d *document) once(path string, at int) bool {
	if before, ok := d.seen[path]; ok {
		line := 1 + bytes.Count(d.text[:before], []byte("\n"))
		d.fault(at, "%s is given twice; it stands in line %d already", path, line)
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

// newer is the error for a file whose version, the number of a key, is beyond
// what this program reads: nothing else in it can be judged.
func (d *document) newer(name, key string, reads int) error {
	e, ok := d.find(key)
	if !ok {
		return nil
	}
	v, f := e.whole(limits{float64(reads + 1), 1 << 30, ""})
	if f != nil {
		return nil
	}
	msg := fmt.Sprintf("the file is of version %d; this program reads version %d", v, reads)
	return &Unsupported{name, mistakes(d.text, []fault{{e.at, msg}})[0]}
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
		d.fault(at, "not TOML: %s", strings.TrimPrefix(err.Error(), "toml: "))
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
