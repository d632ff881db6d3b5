package cases

import (
	"maps"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"conoid/sim/fact"
)

// Edit is the draft with other values: as [Draft.Values] gives them, and "" for a key
// that is to be left out. Nothing but these keys changes. What cannot be said by a
// line of its own, as in a section that is written as one value, is refused.
func (d *Draft) Edit(values map[string]string) (out *Draft, err error) {
	out = d
	for _, clear := range []bool{true, false} { // what is in the way of another goes first
		for _, s := range schema() {
			for _, k := range s.keys {
				v, given := values[k.path]
				if !given || clear != (v == "") {
					continue
				}
				if out, err = (changes{out}).set(s, k, v); err != nil {
					return nil, err
				}
			}
		}
	}
	return out, nil
}

// changes are those of single keys of a draft.
type changes struct{ *Draft }

// set is the draft with one value changed.
func (d changes) set(s section, k key, value string) (*Draft, error) {
	path, before := k.path, d.Values()
	if value == before[path] && (value != "" || !d.begun[path]) {
		return d.Draft, nil
	}
	if path == mannerPath && d.inside(mannerPath) {
		s, k = sectionAt(mannerPath)
	}
	out := d.Draft
	if value == "" {
		out = changes{out}.clear(k.path)
	} else {
		out = changes{out}.clearBeside(s, k.path)
		if s.name == mannerPath && k.path != likePath && before[mannerPath] != "" && !(changes{out}).gives(likePath) {
			_, like := sectionAt(mannerPath)
			out = changes{out}.put(s, like, toText(before[mannerPath]))
		}
		out = changes{out}.put(s, k, k.literal(value))
	}
	if !(changes{out}).differs(d.Draft, path, value != "") {
		return nil, fact.Refuse("case.edit.by-hand", "key", path)
	}
	return out, nil
}

// sectionAt is a section and its first key.
func sectionAt(name string) (section, key) {
	all := schema()
	s := all[slices.IndexFunc(all, func(s section) bool { return s.name == name })]
	return s, s.keys[0]
}

// gives reports whether the file has a key.
func (d changes) gives(path string) bool {
	_, ok := d.find(path)
	return ok
}

// inside reports whether the file has a key of a section.
func (d changes) inside(section string) bool {
	return slices.ContainsFunc(d.entries, func(e entry) bool { return strings.HasPrefix(e.path, section+".") })
}

// clearBeside takes out what cannot stand beside a key of a section: of some things a
// file gives a single value, or a section, and not both.
func (d changes) clearBeside(s section, path string) *Draft {
	out := d.clear(s.name)
	for _, other := range schema() {
		if other.name != path {
			continue
		}
		for _, k := range other.keys {
			out = changes{out}.clear(k.path)
		}
	}
	return out
}

// differs reports whether the draft is another one in which a key is given, or not,
// and in which all else is the same but for what cannot stand beside it.
func (d changes) differs(from *Draft, path string, given bool) bool {
	before, after := from.Values(), d.Values()
	single := path[:max(0, strings.LastIndexByte(path, '.'))]
	for _, values := range []map[string]string{before, after} {
		maps.DeleteFunc(values, func(p, _ string) bool {
			return p == path || given && path != mannerPath && strings.HasPrefix(p, path+".") || given && p == single && p != mannerPath
		})
	}
	_, there := d.Values()[path]
	return maps.Equal(before, after) && there == given && (isWholeTOML(d.text) || !isWholeTOML(from.text))
}

func isWholeTOML(text []byte) bool {
	var all map[string]any
	return toml.Unmarshal(text, &all) == nil
}

// put gives a key a value, as TOML has it: in its place, in the place of a comment
// that has the key, or in a line of its own with its explanation.
func (d changes) put(s section, k key, value string) *Draft {
	if e, ok := d.find(k.path); ok {
		return d.replace(e, s.short(k), value)
	}
	if at, ok := d.seen[k.path]; ok || d.begun[k.path] {
		if !ok {
			return d.Draft
		}
		return d.rewrite(d.statementAt(at), s.short(k)+" = "+value)
	}
	d = changes{places(d).begin(s)}
	if st, ok := places(d).commented(s, s.short(k)); ok {
		return d.takeUp(st, s.short(k), value)
	}
	return places(d).insert(s, k, value)
}

// replace gives another value to a key that is there. A line that is no TOML is
// written anew.
func (d changes) replace(e entry, name, value string) *Draft {
	if st := d.statementAt(e.key); !isTOML(d.text[st.start:st.end]) {
		return d.rewrite(st, name+" = "+value)
	}
	return d.splice(e.at, d.valueEnd(e), value)
}

// rewrite writes a statement anew, but for the blanks before it.
func (d changes) rewrite(st statement, line string) *Draft {
	return d.splice(st.start+d.indent(st), st.end, line)
}

// indent is how many blanks a statement begins with.
func (d changes) indent(st statement) int {
	text := string(d.text[st.start:st.end])
	return len(text) - len(strings.TrimLeft(text, " \t"))
}

// takeUp makes a line of a comment that has a key.
func (d changes) takeUp(st statement, name, value string) *Draft {
	from := st.start + d.indent(st)
	line := strings.TrimPrefix(strings.TrimPrefix(string(d.text[from:st.end]), "#"), " ")
	one := draftOf([]byte(line), nil)
	if e, ok := one.find(name); ok && isTOML(one.text) {
		return d.splice(from, st.end, string(one.splice(e.at, one.valueEnd(e), value).data))
	}
	return d.splice(from, st.end, name+" = "+value)
}

// clear takes a key out: its line becomes a comment, and several lines go. So does
// the header of a section that may not stand there with nothing in it.
func (d changes) clear(path string) *Draft {
	e, ok := d.find(path)
	at, seen := d.seen[path]
	switch {
	case ok:
		at = e.key
	case !seen || !d.begun[path]:
		return d.Draft
	}
	st := d.statementAt(at)
	switch {
	case ok && d.shared(st, e):
		return d.clearOne(e)
	case strings.Contains(d.said(st), "\n"):
		return d.splice(st.start, min(st.end+1, len(d.text)), "")
	}
	return changes{d.comment(st)}.clearHeader(path)
}

func (d changes) comment(st statement) *Draft {
	at := st.start + d.indent(st)
	return d.splice(at, at, "# ")
}

// shared reports whether a key has its line with others, in a section that is written
// as one value.
func (d changes) shared(st statement, e entry) bool {
	return len(strings.TrimSpace(string(d.text[st.start:e.key]))) > 0
}

// clearOne takes a key out of a section that is written as one value.
func (d changes) clearOne(e entry) *Draft {
	from, to := e.key, d.valueEnd(e)
	rest := strings.TrimLeft(string(d.text[to:]), " \t")
	before := strings.TrimRight(string(d.text[:from]), " \t")
	switch {
	case strings.HasPrefix(rest, ","):
		to = len(d.text) - len(strings.TrimLeft(rest[1:], " \t"))
	case strings.HasSuffix(before, ","):
		from = len(before) - 1
	}
	return d.splice(from, to, "")
}

// clearHeader makes a comment of the header of a key's section, when nothing is left
// in it and something has to be.
func (d changes) clearHeader(path string) *Draft {
	i := strings.LastIndexByte(path, '.')
	if i < 0 || d.inside(path[:i]) {
		return d.Draft
	}
	s, _ := sectionAt(path[:i])
	header, ok := places(d).header(s.name)
	if !ok || s.must || !slices.ContainsFunc(s.keys, func(k key) bool { return k.need.ID != "" }) {
		return d.Draft
	}
	return d.comment(header)
}
