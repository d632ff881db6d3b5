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
	wants    func(path string) (want, bool) // what a key takes
	entries  []entry
	sections []entry         // headers and inline tables, without a value
	seen     map[string]int  // byte of every key and header
	begun    map[string]bool // keys that stand there with a value that nobody can read
	faults   []fault
	odd      bool // some line is not TOML, as it stands
	unread   int  // byte behind the last line of which nothing is understood
	broken   bool // and one cannot even be guessed at, so that a missing key may stand there

	parser  unstable.Parser // of one statement after another, in the same memory
	section string          // being read
	lost    bool            // the header of the section being read was not understood
}

// want is what a key takes.
type want struct {
	kind  kind
	unit  unit
	exact bool               // it is a key, and not only near to one
	fits  func(e entry) bool // whether a value is right
}

// parse takes a file apart, statement by statement.
func parse(data []byte, wants func(path string) (want, bool)) *document {
	text, faults := plainText(data)
	d := &document{text: text, wants: wants, seen: map[string]int{}, begun: map[string]bool{}, faults: faults, unread: -1}
	for start := 0; start < len(text); {
		st := statementFrom(text, start)
		d.read(st)
		start = st.end + 1
	}
	return d
}

func (d *document) fault(at int, what fact.Fact) { d.faults = append(d.faults, fault{at, what}) }

// read takes what a statement says, or what it was probably meant to say.
func (d *document) read(st statement) {
	if d.unread == st.start && len(bytes.TrimSpace(d.text[st.start:st.end])) == 0 {
		d.unread = st.end + 1
	}
	p := &d.parser
	if !parses(p, d.text[st.start:st.end]) {
		if d.beyond() {
			d.count(st)
		} else {
			d.mend(st)
		}
		return
	}
	p.Reset(d.text[st.start:st.end])
	for p.NextExpression() {
		d.take(p.Expression(), st.start)
	}
}

// beyond reports whether there are as many mistakes already as are told, so that no more is
// guessed at what is meant.
func (d *document) beyond() bool { return len(d.faults) >= mostTold }

// count notes a statement that is not TOML, and that is told in no word of its own.
func (d *document) count(st statement) {
	d.odd, d.broken = true, true
	d.fault(st.start, fact.New("case.line"))
}

func isTOML(text []byte) bool { return parses(&unstable.Parser{}, text) }

// parses reports whether a parser finds nothing wrong with a text.
func parses(p *unstable.Parser, text []byte) bool {
	p.Reset(text)
	for p.NextExpression() {
	}
	return p.Error() == nil
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
	e.plain = e.kind == isText && bytes.HasPrefix(d.text[min(e.at+1, len(d.text)):], []byte(e.text+string(d.text[e.at])))
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
		d.fault(at, d.again(path, fact.Count(1+bytes.Count(d.text[:before], []byte("\n")))))
		return false
	}
	d.seen[path] = at
	return true
}

// again tells of a key or a section that stood in a line before.
func (d *document) again(path string, line fact.Count) fact.Fact {
	_, value := d.find(path)
	switch {
	case path == d.section && value:
		return fact.New("case.value-before", "section", path, "line", line)
	case path == d.section:
		return fact.New("case.section-twice", "section", path, "line", line)
	}
	return fact.New("case.twice", "key", path, "line", line)
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

// empty reports whether a file says nothing, but perhaps in comments.
func (d *document) empty() bool {
	return len(d.entries)+len(d.sections)+len(d.faults) == 0
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
	if e.says(reads) {
		return nil
	}
	what := fact.New("case.version", "version", e.text, "reads", fact.Count(reads))
	return &Unsupported{name, mistakes(d.text, []fault{{e.at, what}})[0]}
}

// says reports whether a whole number is n.
func (e entry) says(n int) bool {
	v, err := strconv.ParseInt(strings.ReplaceAll(e.text, "_", ""), 0, 64)
	return err == nil && v == int64(n)
}

// version refuses what is no version at all; see otherVersion.
func (e entry) version(reads int) *fault {
	if e.kind != isWhole || !e.says(reads) {
		return e.wrongType(fact.New("case.write.version", "version", fact.Count(reads)))
	}
	return nil
}

// checkWhole finds what no single line shows, such as a section that was
// begun as a value. It says nothing of a file that has lines that are not TOML,
// nor of a place that is known to be wrong.
func (d *document) checkWhole() {
	var any map[string]any
	err := toml.Unmarshal(d.text, &any)
	if err == nil || d.odd {
		return
	}
	at := 0
	var bad *toml.DecodeError
	if errors.As(err, &bad) {
		line, column := bad.Position()
		at = d.offset(line, column)
	}
	if !slices.ContainsFunc(d.faults, func(f fault) bool { return f.at == at }) {
		d.fault(at, fact.New("case.whole"))
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
