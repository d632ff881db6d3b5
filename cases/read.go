package cases

import (
	"bytes"
	"path/filepath"
	"slices"
	"strings"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// maxSize is the largest case file in bytes. A long one has a thirtieth of it.
const maxSize = 1 << 16

// Read reads a case file; name is the file's name for messages, and gives the
// case its ID. The error is a *Malformed, with every mistake of the file, or
// an *Unsupported for a file of another version.
func Read(name string, data []byte) (*Case, error) {
	if err := checkSize(name, data); err != nil {
		return nil, err
	}
	r := newReader(name, data)
	if err := r.otherVersion(name, versionKey, version); err != nil {
		return nil, err
	}
	r.unknown()
	r.values()
	if !r.broken {
		r.checkWhole()
		r.missing()
		r.checkScheme()
	}
	if len(r.faults) > 0 {
		return nil, &Malformed{name, mistakes(r.text, r.faults)}
	}
	r.resolve()
	return r.c, nil
}

func checkSize(name string, data []byte) error {
	if len(data) > maxSize {
		return tooLarge(name, len(data), maxSize)
	}
	return nil
}

func tooLarge(name string, size, most int) error {
	return &Malformed{name, []Mistake{{1, 1, fact.New("case.size", "size", fact.Count(size), "most", fact.Count(most))}}}
}

// blank is the case of a file that leaves everything out.
func blank(name string) *Case {
	c := &Case{
		ID:     strings.TrimSuffix(filepath.Base(name), filepath.Ext(name)),
		Tested: sitting.Right,
		Room:   Room{Distance: sitting.TruthDistance, Vertex: 12, Labels: chart.ByAxis},
	}
	setManner(c, "everyday")
	c.Focusing = patient.UsualFocusing()
	for i := range c.Eyes {
		c.Eyes[i].Aberrations.From = Typical
	}
	return c
}

// reader makes a case of a document.
type reader struct {
	*document
	schema []section // what the file may have in it
	c      *Case
	meant  map[string]bool // keys and sections that unknown ones were probably meant for
}

func newReader(name string, data []byte) *reader {
	text := bytes.TrimPrefix(data, []byte("\ufeff"))
	return &reader{document: parse(bytes.Clone(text)), schema: schema(), c: blank(name), meant: map[string]bool{}}
}

// unknown finds sections and keys that the schema does not have.
func (r *reader) unknown() {
	var names []string
	known := map[string]bool{}
	for _, s := range r.schema {
		if s.name != "" {
			names = append(names, s.name)
		}
		for _, k := range s.keys {
			known[k.path] = true
		}
	}
	unknown := map[string]bool{}
	for _, s := range r.sections {
		switch {
		case slices.Contains(names, s.path) || inside(unknown, s.path):
		case known[s.path]:
			unknown[s.path], r.meant[s.path] = true, true
			r.fault(s.at, fact.New("case.section-for-value", "key", s.path))
		default:
			unknown[s.path] = true
			r.meant[nearest(s.path, names)] = true
			r.fault(s.at, fact.New("case.no-section", "section", s.path, "allowed", names, "meant", didYouMean(s.path, names)))
		}
	}
	for _, e := range r.entries {
		switch {
		case known[e.path] || inside(unknown, e.section):
		case slices.Contains(names, e.path):
			r.fault(e.key, fact.New("case.value-for-section", "section", e.path))
		default:
			r.fault(e.key, r.unknownKey(e))
		}
	}
}

// inside reports whether a section is one of the unknown ones or within one.
func inside(unknown map[string]bool, section string) bool {
	for s := range unknown {
		if section == s || strings.HasPrefix(section, s+".") {
			return true
		}
	}
	return false
}

func (r *reader) unknownKey(e entry) fact.Fact {
	for _, s := range r.schema {
		if s.name != e.section {
			continue
		}
		where, strip := fact.New("case.at-the-top"), ""
		if s.name != "" {
			where, strip = fact.New("case.in-section", "section", s.name), s.name+"."
		}
		var names []string
		for _, k := range s.keys {
			names = append(names, strings.TrimPrefix(k.path, strip))
		}
		if names == nil { // there are only sections in it
			for _, inner := range r.schema {
				if after, is := strings.CutPrefix(inner.name, strip); is {
					names = append(names, after)
				}
			}
		}
		name := strings.TrimPrefix(e.path, strip)
		r.meant[strip+nearest(name, names)] = true
		return fact.New("case.no-key", "key", name, "where", where, "allowed", names, "meant", didYouMean(name, names))
	}
	return fact.New("case.no-such-key", "key", e.path)
}

// values reads every value, in the order of the schema.
func (r *reader) values() {
	for _, s := range r.schema {
		for _, k := range s.keys {
			if e, ok := r.find(k.path); ok {
				if f := k.read(r.c, e); f != nil {
					r.faults = append(r.faults, *f)
				}
			}
		}
	}
}

// missing finds what the file does not say and has to.
func (r *reader) missing() {
	if !r.has(r.c.Tested) && !r.meant[string(r.c.Tested)] {
		r.fault(0, fact.New("case.no-tested-eye", "section", string(r.c.Tested)))
	}
	for _, s := range schema() {
		if !s.must && !r.says(s.name) {
			continue
		}
		for _, k := range s.keys {
			if k.need.ID != "" && (!k.tested || s.name == string(r.c.Tested)) {
				r.need(k.path, r.place(s.name), k.need)
			}
		}
	}
}

// need notes a key that is missing, unless a misspelt one was meant for it.
func (r *reader) need(path string, at int, how fact.Fact) {
	if _, ok := r.find(path); !ok && !r.meant[path] {
		r.fault(at, fact.New("case.missing", "key", path, "how", how))
	}
}

// place is where a section stands; the beginning of the file if nowhere.
func (r *reader) place(section string) int { return r.seen[section] }

// has reports whether a file says anything about an eye.
func (r *reader) has(side sitting.Side) bool { return r.says(string(side)) }

// says reports whether a file has a section, or anything in it.
func (r *reader) says(section string) bool {
	if slices.ContainsFunc(r.sections, func(s entry) bool { return s.path == section }) {
		return true
	}
	for path := range r.seen {
		if strings.HasPrefix(path, section+".") {
			return true
		}
	}
	return false
}

// resolve fills in what the file leaves to be worked out.
func (r *reader) resolve() {
	c := r.c
	fellow := c.Tested.Other()
	if !r.has(fellow) {
		*c.Of(fellow) = c.Of(c.Tested).mirrored()
	} else if _, ok := r.find(string(fellow) + ".objective"); !ok {
		c.Of(fellow).Objective = c.Of(fellow).Error.Round(0.25)
	}
	if c.Level == 0 {
		c.Level = c.grade()
	}
}
