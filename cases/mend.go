package cases

import (
	"bytes"
	"regexp"
	"strings"

	"conoid/sim/fact"
)

// mend tells what is wrong with a statement that is not TOML, in the words of
// those who write cases by hand, and takes what it was meant to say, as far as
// that is plain: so that one mistake gives one message, and the mistakes in
// other lines are told as well.
func (d *document) mend(st statement) {
	d.odd = true
	text := string(d.text[st.start:st.end])
	at := st.start + len(text) - len(strings.TrimLeft(text, " \t"))
	begin := string(d.text[at:st.end])
	switch key, value, sign := cut(begin); {
	case strings.HasPrefix(begin, "["):
		d.mendHeader(statement{start: at, end: st.end})
	case commentSign(begin) != "":
		d.fault(at, fixed(fact.New("case.comment", "sign", commentSign(begin)), "# "+strings.TrimSpace(begin[len(commentSign(begin)):])))
	case d.isSection(key) && withoutComment(value) == "":
		d.sectionMeant(at, key)
	case sign != 0:
		d.mendKey(st, at, st.end-len(value), key, sign)
	default:
		d.mendLine(st, at, begin)
	}
}

// fixed adds to what is wrong how the line should be. What says already what to
// write needs no word more.
func fixed(what fact.Fact, line string) fact.Fact {
	id := "case.fixed"
	if what.ID == "case.type" {
		id = "case.as"
	}
	return fact.New(id, "what", what, "line", line)
}

// comments of other languages.
var commentSigns = []string{"//", "/*", "<!--", ";", "--", "%", "*"}

func commentSign(line string) string {
	for _, s := range commentSigns {
		if strings.HasPrefix(line, s) && strings.Trim(line, s+" \t") != "" {
			return s
		}
	}
	return ""
}

// cut takes a statement apart at the first = or, behind a word, a colon. What
// has neither is a key as a whole.
func cut(text string) (key, value string, sign byte) {
	b := []byte(text)
	for at := 0; at < len(b); {
		end, what := token(b, at)
		if what == open || what == bare && b[at] == '\n' {
			break
		}
		if c := b[at]; what == bare && (c == '=' || c == ':' && word.MatchString(text[:at])) {
			return strings.TrimSpace(text[:at]), text[end:], c
		}
		at = end
	}
	return strings.TrimSpace(withoutComment(text)), "", 0
}

var word = regexp.MustCompile(`^"?[\pL_][\pL\pN_-]*(?: [\pL\pN_-]+)?"?\s*$`)

// withoutComment is a value without the comment behind it and blanks.
func withoutComment(value string) string {
	b := []byte(value)
	for at := 0; at < len(b); {
		end, what := token(b, at)
		if what == remark && strings.TrimSpace(value[at:end]) != "" {
			value = value[:at]
			break
		}
		at = end
	}
	return strings.TrimSpace(value)
}

// isSection reports whether a word is the name of a section.
func (d *document) isSection(name string) bool {
	if d.wants == nil {
		return false
	}
	for _, s := range schema() {
		if s.name != "" && s.name == strings.Trim(name, "()<>{} ") {
			return true
		}
	}
	return false
}

// sectionMeant begins a section whose name stands there without its brackets.
func (d *document) sectionMeant(at int, name string) {
	name = strings.Trim(name, "()<>{} ")
	d.fault(at, fixed(fact.New("case.header"), "["+name+"]"))
	d.beginSection(name, at)
}

func (d *document) beginSection(name string, at int) {
	d.section, d.lost = name, false
	d.table(name, at)
}

var header = regexp.MustCompile(`^\[+\s*"?([^\]\["#\n]*)"?\s*(\]*)\s*(.*)$`)

// mendHeader mends a line that begins with a bracket.
func (d *document) mendHeader(st statement) {
	m := header.FindSubmatchIndex(d.text[st.start:st.end])
	if m == nil || m[2] == m[3] {
		d.fault(st.start, fact.New("case.header"))
		d.lost = true
		return
	}
	name, at := strings.TrimSpace(string(d.text[st.start+m[2]:st.start+m[3]])), st.start+m[2]
	rest := withoutComment(string(d.text[st.start+m[6] : st.end]))
	if m[4] == m[5] { // it is not closed
		if first, _, more := strings.Cut(name, " "); more && d.isSection(first) {
			name = first
		}
		d.fault(at, fixed(fact.New("case.header"), "["+name+"]"))
	} else if rest != "" {
		d.fault(st.start+m[6], fact.New("case.header-alone", "section", name))
	}
	d.beginSection(name, at)
	if m[4] < m[5] && strings.Contains(rest, "=") {
		d.read(statement{start: st.start + m[6], end: st.end})
	}
}

// mendKey mends a key and its value: the key begins at a byte, the value behind
// the sign at another.
func (d *document) mendKey(st statement, at, valueAt int, key string, sign byte) {
	raw := string(d.text[valueAt:st.end])
	start := valueAt + len(raw) - len(strings.TrimLeft(raw, " \t=>:"))
	doubled := strings.ContainsAny(raw[:start-valueAt], "=>:")
	raw = withoutComment(string(d.text[start:st.end]))
	if key == "" {
		d.fault(at, fact.New("case.no-name"))
		d.broken = true
		return
	}
	if second := secondKey(raw); second > 0 && sign == '=' {
		d.fault(start+second, fact.New("case.one-line", "key", key))
		first := bytes.TrimRight(d.text[at:start+second], " \t,;")
		d.read(statement{start: at, end: at + len(first)})
		d.read(statement{start: start + second, end: st.end})
		return
	}
	m := mending{document: d, key: key, at: at, start: start, wrapped: st.wrapped}
	m.path, m.name = d.pathOf(key)
	m.want, m.known = d.wantOf(m.path)
	switch {
	case sign == ':' || doubled:
		m.sign = fact.New("case.sign", "key", key)
		if sign == ':' {
			m.sign = fact.New("case.colon", "key", key)
		}
	case sign == 0:
		m.sign = fact.New("case.no-sign", "key", key)
	}
	m.value(raw)
}

// secondKey is where in a value another key begins, with its own =; 0 if none.
func secondKey(raw string) int {
	b := []byte(raw)
	for at := 0; at < len(b); {
		end, what := token(b, at)
		if what == bare && (b[at] == '{' || b[at] == '[') {
			return 0 // it belongs to what is in there
		}
		if what == bare && b[at] == '=' {
			if m := lastWord.FindStringSubmatchIndex(raw[:at]); m != nil {
				return m[2]
			}
		}
		at = end
	}
	return 0
}

var lastWord = regexp.MustCompile(`[\s,;]([A-Za-z][A-Za-z-]*)\s*$`)

var plainKey = regexp.MustCompile(`^(?:[A-Za-z0-9_-]+|"[^"]*")(?:\.(?:[A-Za-z0-9_-]+|"[^"]*"))*$`)

// pathOf is the path of a key in the section being read, and the key as TOML
// has it.
func (d *document) pathOf(key string) (path, name string) {
	name = key
	if !plainKey.MatchString(key) {
		name = toText(strings.Trim(key, `"'`))
	}
	path = strings.ReplaceAll(name, `"`, "")
	if d.section != "" {
		path = d.section + "." + path
	}
	return path, name
}

// wantOf is what a key takes, or the one that it was probably meant for.
func (d *document) wantOf(path string) (want, bool) {
	if d.wants == nil {
		return want{}, false
	}
	return d.wants(path)
}

// mendLine mends a line that has neither = nor colon.
func (d *document) mendLine(st statement, at int, begin string) {
	first := strings.TrimSpace(begin)
	if i := strings.IndexAny(first, " \t"); i > 0 {
		first = first[:i]
	}
	path, _ := d.pathOf(first)
	if _, known := d.wantOf(path); known {
		d.mendKey(st, at, at+len(first), first, 0)
		return
	}
	d.broken = true
	if d.unread != st.start { // once for all lines that follow one another
		d.fault(at, fact.New("case.line"))
	}
	d.unread = st.end + 1
}
