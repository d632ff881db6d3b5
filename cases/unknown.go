package cases

import (
	"maps"
	"slices"
	"strings"

	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// unknown finds sections and keys that the schema does not have. What stands in
// a section that was meant for another one is read as if it stood there.
func (r *reader) unknown() {
	names, known := r.names()
	unknown := map[string]bool{}
	r.sphereCylinderAxis(unknown)
	for i, s := range r.sections {
		switch {
		case slices.Contains(names, s.path) || inside(unknown, s.path):
		case r.beyond():
			unknown[s.path], r.broken = true, true
			r.fault(s.at, fact.New("case.no-section", "section", s.path, "allowed", names))
		case known[s.path]:
			unknown[s.path], r.meant[s.path] = true, true
			r.fault(s.at, fact.New("case.section-for-value", "key", s.path))
		default:
			r.fault(s.at, r.unknownSection(i, names, unknown))
		}
	}
	places := map[string]*misplaced{}
	for _, e := range r.entries {
		switch {
		case known[e.path] || inside(unknown, e.section) || r.meant[e.path]:
		case slices.Contains(names, e.path):
			r.meant[e.path] = true
			r.fault(e.key, fact.New("case.value-for-section", "section", e.path))
		case r.beyond():
			r.broken = true
			r.fault(e.key, fact.New("case.no-such-key", "key", e.path))
		case r.elsewhere(e, places):
		default:
			r.fault(e.key, r.unknownKey(e))
		}
	}
	for _, at := range slices.Sorted(maps.Keys(places)) {
		r.fault(places[at].at, places[at].fact())
	}
}

// names are the sections of the schema, and its keys.
func (r *reader) names() (sections []string, keys map[string]bool) {
	keys = map[string]bool{}
	for _, s := range r.schema {
		if s.name != "" {
			sections = append(sections, s.name)
		}
		for _, k := range s.keys {
			keys[k.path] = true
		}
	}
	return sections, keys
}

// inside reports whether a section is one of the unknown ones or within one.
func inside(unknown map[string]bool, section string) bool {
	for ; section != ""; section = section[:max(strings.LastIndexByte(section, '.'), 0)] {
		if unknown[section] {
			return true
		}
	}
	return false
}

// unknownSection tells of a section that there is not. Where another one was
// meant that is nowhere else in the file, that one is read.
func (r *reader) unknownSection(i int, names []string, unknown map[string]bool) fact.Fact {
	s := r.sections[i].path
	meant := nearestSection(s, names)
	r.meant[meant] = true
	if _, there := r.seen[meant]; meant == "" || there || within(r.seen, meant) {
		unknown[s] = true
	} else {
		r.readAs(s, meant)
	}
	if meant != "" {
		return fixed(fact.New("case.other-section", "section", s), "["+meant+"]")
	}
	return fact.New("case.no-section", "section", s, "allowed", names)
}

// nearestSection is the section that was probably meant. One that stands in
// another one may be named without it, or in a wrong one.
func nearestSection(name string, names []string) string {
	if meant := nearest(name, names); meant != "" {
		return meant
	}
	last := name[strings.LastIndexByte(name, '.')+1:]
	if meant := nearest(last, names); meant != "" {
		return meant
	}
	for _, n := range names {
		if strings.HasSuffix(n, "."+strings.ToLower(last)) {
			return n
		}
	}
	return ""
}

// readAs has all that stands in one section stand in another.
func (r *reader) readAs(from, to string) {
	as := func(path string) string {
		if path == from || strings.HasPrefix(path, from+".") {
			return to + path[len(from):]
		}
		return path
	}
	for i, e := range r.entries {
		r.entries[i].path, r.entries[i].section = as(e.path), as(e.section)
	}
	for i, s := range r.sections {
		r.sections[i].path = as(s.path)
	}
	for path, at := range maps.Clone(r.seen) {
		r.seen[as(path)] = at
	}
	for path := range maps.Clone(r.begun) {
		r.begun[as(path)] = true
	}
}

// misplaced is some keys that stand in a section in which they have no place.
type misplaced struct {
	at      int
	keys    []string
	section string   // where they stand
	belong  []string // sections in which they have one
}

func (m *misplaced) fact() fact.Fact {
	where := inWords(m.section)
	if slices.Equal(m.belong, []string{""}) {
		return fact.New("case.misplaced-top", "keys", m.keys, "where", where)
	}
	return fact.New("case.misplaced", "keys", m.keys, "where", where, "sections", m.belong)
}

// inWords is the name of a place in a file.
func inWords(section string) fact.Fact {
	if section == "" {
		return fact.New("case.at-the-top")
	}
	return fact.New("case.in-section", "section", section)
}

// elsewhere notes a key that is one of other sections, together with those that
// were misplaced in the same way, and reports whether it is.
func (r *reader) elsewhere(e entry, places map[string]*misplaced) bool {
	key := e.path[strings.LastIndexByte(e.path, '.')+1:]
	var belong, sections []string
	for _, s := range r.schema {
		if _, is := keyAt(strings.TrimPrefix(s.name+"."+key, ".")); is && len(key) > 2 && strings.HasPrefix(s.name, "texts.") == (e.section == "texts") {
			belong, sections = append(belong, s.name), append(sections, "["+s.name+"]")
		}
	}
	if belong == nil {
		return false
	}
	for _, section := range belong {
		r.meant[section], r.meant[strings.TrimPrefix(section+"."+key, ".")] = true, true
	}
	at := e.section + " " + strings.Join(belong, " ")
	if places[at] == nil {
		if belong[0] == "" {
			sections = belong
		}
		places[at] = &misplaced{at: e.key, section: e.section, belong: sections}
	}
	places[at].keys = append(places[at].keys, key)
	return true
}

// sphereCylinderAxis finds the parts of a prescription as keys of their own,
// and tells once for each prescription that they stand together.
func (r *reader) sphereCylinderAxis(unknown map[string]bool) {
	found := map[string]*parts{}
	for _, e := range r.entries {
		in, key := "", e.path
		if i := strings.LastIndexByte(e.path, '.'); i >= 0 {
			in, key = e.path[:i], e.path[i+1:]
		}
		rx, part := prescriptionIn(in), partOf[strings.ToLower(key)]
		if rx == "" || part == "" {
			continue
		}
		if found[rx] == nil {
			found[rx] = &parts{at: e.key, of: map[string]string{}}
		}
		found[rx].of[part] = e.text
		r.meant[e.path], r.meant[rx], unknown[rx] = true, true, true
	}
	for rx, p := range found {
		r.fault(p.at, p.fact(rx[strings.LastIndexByte(rx, '.')+1:]))
	}
}

// parts are the parts of a prescription, by their names.
type parts struct {
	at int // byte of the first
	of map[string]string
}

// fact tells that they stand together, as the value of a key.
func (p *parts) fact(key string) fact.Fact {
	rx, err := optics.ParseRx(p.of["sphere"] + " / " + p.of["cylinder"] + " x " + p.of["axis"])
	if err != nil {
		rx = optics.Rx{Sphere: -1.5, Cyl: -0.75, Axis: 35}
		return fact.New("case.parts-such", "key", key, "line", key+" = "+toText(rx.ASCII()))
	}
	return fixed(fact.New("case.parts", "key", key), key+" = "+toText(rx.ASCII()))
}

// prescriptionIn is the prescription whose parts might be the keys of a section.
func prescriptionIn(section string) string {
	for _, side := range []sitting.Side{sitting.Right, sitting.Left} {
		switch section {
		case string(side), string(side) + ".error":
			return string(side) + ".error"
		case string(side) + ".objective":
			return section
		}
	}
	return ""
}

// partOf are the names that people have for the parts of a prescription.
var partOf = map[string]string{
	"sphere": "sphere", "sph": "sphere", "sphäre": "sphere",
	"cylinder": "cylinder", "cyl": "cylinder", "zyl": "cylinder", "zylinder": "cylinder",
	"axis": "axis", "ax": "axis", "achse": "axis",
}

// unknownKey tells of a key that there is not.
func (r *reader) unknownKey(e entry) fact.Fact {
	for _, s := range r.schema {
		if s.name != e.section {
			continue
		}
		strip := ""
		if s.name != "" {
			strip = s.name + "."
		}
		names := r.namesIn(s)
		name := strings.TrimPrefix(e.path, strip)
		r.meant[strip+nearest(name, names)] = true
		return fact.New("case.no-key", "key", name, "where", inWords(s.name), "allowed", names, "meant", didYouMean(name, names))
	}
	return fact.New("case.no-such-key", "key", e.path)
}

// namesIn are the keys of a section, or the sections in it if it has no others.
func (r *reader) namesIn(s section) (names []string) {
	for _, k := range s.keys {
		names = append(names, s.short(k))
	}
	if names != nil {
		return names
	}
	for _, inner := range r.schema {
		if after, is := strings.CutPrefix(inner.name, s.name+"."); is {
			names = append(names, after)
		}
	}
	return names
}
