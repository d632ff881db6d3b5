package cases

import (
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
	if err := checkText(name, data); err != nil {
		return nil, err
	}
	r := newReader(name, data)
	if r.empty() {
		return nil, wholeFile(name, fact.New("case.nothing"))
	}
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

// checkText refuses what is no text, or too much of it: nothing else in such a
// file can be judged.
func checkText(name string, data []byte) error {
	if len(data) > maxSize {
		return tooLarge(name, len(data), maxSize)
	}
	if what, is := notText(data); is {
		return wholeFile(name, what)
	}
	return nil
}

func tooLarge(name string, size, most int) error {
	return wholeFile(name, fact.New("case.size", "size", fact.Count(size), "most", fact.Count(most)))
}

// wholeFile is a file with a single mistake, which is that of the whole file.
func wholeFile(name string, what fact.Fact) error { return &Malformed{name, []Mistake{{1, 1, what}}} }

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
	r := &reader{schema: schema(), c: blank(name), meant: map[string]bool{}}
	r.document = parse(data, wants)
	return r
}

// wants is what a key of a case takes, or the one near to it.
func wants(path string) (want, bool) {
	path = inNearestSection(path)
	in := path[:strings.LastIndexByte(path, '.')+1]
	var names []string
	for _, s := range schema() {
		for _, k := range s.keys {
			if k.path == path {
				return k.want(true), true
			}
			if short, is := strings.CutPrefix(k.path, in); is && !strings.Contains(short, ".") {
				names = append(names, short)
			}
		}
	}
	if k, ok := keyAt(in + nearest(strings.TrimPrefix(path, in), names)); ok {
		return k.want(false), true
	}
	return want{}, false
}

// inNearestSection is a path, in the section that its own was meant for.
func inNearestSection(path string) string {
	i := strings.LastIndexByte(path, '.')
	if i < 0 {
		return path
	}
	var names []string
	for _, s := range schema() {
		names = append(names, s.name)
	}
	if meant := nearestSection(path[:i], names); !slices.Contains(names, path[:i]) && meant != "" {
		return meant + path[i:]
	}
	return path
}

// keyAt is the key of a path.
func keyAt(path string) (key, bool) {
	for _, s := range schema() {
		for _, k := range s.keys {
			if k.path == path {
				return k, true
			}
		}
	}
	return key{}, false
}

// values reads every value, in the order of the schema.
func (r *reader) values() {
	for _, s := range r.schema {
		for _, k := range s.keys {
			if e, ok := r.find(k.path); ok {
				if f := k.read(r.c, e); f != nil {
					f.what = suggested(k, s, e, f.what)
					r.faults = append(r.faults, *f)
				}
			}
		}
	}
}

// missing finds what the file does not say and has to.
func (r *reader) missing() {
	if !r.has(r.c.Tested) && !r.meant[string(r.c.Tested)] {
		r.noTestedEye()
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

// noTestedEye notes that nothing is said of the eye that is tested, where the
// file asks for it.
func (r *reader) noTestedEye() {
	at, what := 0, fact.New("case.no-tested-eye", "section", string(r.c.Tested))
	if e, ok := r.find("patient.tested"); ok {
		at = e.at
	} else if other := r.c.Tested.Other(); r.has(other) {
		what = fact.New("case.other-eye", "section", string(r.c.Tested), "other", string(other))
		at = r.place(string(other))
	}
	r.fault(at, what)
}

// need notes a key that is missing, unless a misspelt one was meant for it.
func (r *reader) need(path string, at int, how fact.Fact) {
	if _, ok := r.find(path); !ok && !r.meant[path] && !r.begun[path] {
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
	return within(r.seen, section) || within(r.begun, section)
}

// within reports whether any of the paths is in a section.
func within[V any](paths map[string]V, section string) bool {
	for path := range paths {
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
