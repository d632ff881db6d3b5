package cases

import (
	"regexp"
	"slices"
	"strings"
)

// places are where keys and sections of a draft stand, or belong.
type places struct{ *Draft }

// header is the statement that begins a section.
func (d places) header(section string) (statement, bool) {
	i := slices.IndexFunc(d.sections, func(e entry) bool { return e.path == section })
	if i < 0 {
		return statement{}, false
	}
	st := d.statementAt(d.sections[i].at)
	return st, strings.HasPrefix(d.said(st), "[")
}

// region are the statements of a section, with its header.
func (d places) region(section string) (out []statement) {
	all := d.statements()
	if section != "" {
		header, ok := d.header(section)
		if !ok {
			return nil
		}
		i := slices.IndexFunc(all, func(st statement) bool { return st.start == header.start })
		out, all = all[i:i+1:i+1], all[i+1:]
	}
	for _, st := range all {
		if strings.HasPrefix(d.said(st), "[") {
			break
		}
		out = append(out, st)
	}
	return out
}

// commented is a comment within a section that has one of its keys.
func (d places) commented(s section, name string) (statement, bool) {
	line := regexp.MustCompile(`^#\s*` + regexp.QuoteMeta(name) + `\s*=`)
	for _, st := range d.region(s.name) {
		if line.MatchString(d.said(st)) {
			return st, true
		}
	}
	return statement{}, false
}

// begin begins a section that is not there: in the place of a comment that has its
// header, or of its own.
func (d places) begin(s section) *Draft {
	if _, there := d.header(s.name); there || s.name == "" {
		return d.Draft
	}
	line := regexp.MustCompile(`^#\s*\[` + regexp.QuoteMeta(s.name) + `\]$`)
	for _, st := range d.statements() {
		if line.MatchString(d.said(st)) && !d.keyFollows(st.end) {
			return changes(d).rewrite(st, "["+s.name+"]")
		}
	}
	return d.beginNew(s)
}

// keyFollows reports whether behind a byte there is a key before there is a header.
func (d places) keyFollows(at int) bool {
	for _, st := range d.statements() {
		if said := d.said(st); st.start > at && said != "" && said[0] != '#' {
			return said[0] != '['
		}
	}
	return false
}

// beginNew writes the header of a section behind those that come before it in the
// schema.
func (d places) beginNew(s section) *Draft {
	at := d.behind(s)
	text := "[" + s.name + "]\n"
	if s.about != "" && d.words != nil {
		text = comment(d.words(s.explained())) + text
	}
	return d.insertApart(at, text)
}

// behind is where a section that is not there belongs: behind the last one that comes
// before it, and before the comment on the next one.
func (d places) behind(s section) int {
	last := d.region("")
	for _, other := range schema() {
		if other.name == s.name {
			break
		}
		if r := d.region(other.name); len(r) > 0 {
			last = r
		}
	}
	at := 0
	if len(last) > 0 {
		at = min(last[len(last)-1].end+1, len(d.text))
	}
	for i := len(last) - 1; i >= 0 && at < len(d.text); i-- {
		said := d.said(last[i])
		if !strings.HasPrefix(said, "#") || keyComment.MatchString(said) {
			break
		}
		at = last[i].start
	}
	return at
}

// keyComment is a comment that has a key.
var keyComment = regexp.MustCompile(`^#\s*[a-z0-9.-]+\s*=`)

// insertApart inserts whole lines with an empty one before them and behind them.
func (d places) insertApart(at int, text string) *Draft {
	before, after := string(d.text[:at]), string(d.text[at:])
	if before != "" && !strings.HasSuffix(before, "\n") {
		text = "\n" + text
	}
	if before != "" && !strings.HasSuffix(strings.TrimSuffix(before, "\n"), "\n") {
		text = "\n" + text
	}
	if after != "" && after[0] != '\n' {
		text += "\n"
	}
	return d.splice(at, at, text)
}

// insert writes a key into its section with its explanation, behind the keys that
// come before it there.
func (d places) insert(s section, k key, value string) *Draft {
	text := s.short(k) + " = " + value + "\n"
	if d.words != nil && k.about != "" {
		text = comment(d.words(k.explained())) + text
	}
	at, first := d.place(s, k)
	switch before := string(d.text[:at]); {
	case !first && d.airy(s):
		return d.insertApart(at, text)
	case before != "" && !strings.HasSuffix(before, "\n"):
		text = "\n" + text
	}
	return d.splice(at, at, text)
}

// place is where a key that is not there belongs in its section, and whether that is
// right at the section's beginning.
func (d places) place(s section, k key) (at int, first bool) {
	first = true
	behind := func(st statement) { at = min(st.end+1, len(d.text)) }
	if header, ok := d.header(s.name); ok {
		behind(header)
	}
	for _, other := range s.keys {
		if other.path == k.path {
			break
		}
		if e, ok := d.find(other.path); ok {
			behind(d.statementAt(e.key))
			first = false
		} else if st, ok := d.commented(s, s.short(other)); ok {
			behind(st)
			first = false
		}
	}
	return at, first
}

// airy reports whether a section has empty lines between its keys.
func (d places) airy(s section) bool {
	lines, keys := false, 0
	for _, st := range d.region(s.name) {
		switch said := d.said(st); {
		case said == "" && keys > 0:
			lines = true
		case said != "" && said[0] != '#' && said[0] != '[':
			if keys++; lines {
				return true
			}
		}
	}
	return false
}
