package cases

import (
	"bytes"
	"errors"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
)

// Assignment is what a class is given to do: some cases in their order, and how
// they are to be sat. What it leaves out is left to the student.
type Assignment struct {
	Title string
	Aims  string // what is to be learned
	Cases []Listed

	Opens, Closes Clock         // the zero time: at any time
	Limit         time.Duration // for each sitting; 0: none
	Attempts      int           // at each case; 0: as many as one likes

	Begin     Stage // what comes before it is done by the expert; "" for the whole sitting
	Help      Help  // "" for as much as the student likes
	Charts    []chart.Name
	Questions []patient.Question // both nil for all there are
	Shows     Shown
	Marking   *Scheme // nil: as each case is marked

	Translations map[string]Lesson // Title and Aims in other languages, by their codes
}

// Lesson is what an assignment says to students.
type Lesson struct{ Title, Aims string }

// Listed is a case of an assignment.
type Listed struct {
	File         string // from the folder of the assignment, with slashes; or the ID of a case of the library
	Line, Column int    // where the assignment names it, from 1
}

// InLibrary reports whether the case is one of the library.
func (l Listed) InLibrary() bool {
	return !strings.HasSuffix(l.File, ".toml") && !strings.HasSuffix(l.File, SealedEnding)
}

// Stage is where the work of a sitting begins.
type Stage string

// The stages, in the order of the method; each begins with its first chart or lens.
const (
	AtFog    Stage = "fog"
	AtFan    Stage = "fan"
	AtArrow  Stage = "arrow"
	AtBlocks Stage = "blocks"
	AtSphere Stage = "sphere"
)

// Stages are all of them, in the order of the method.
func Stages() []Stage { return []Stage{AtFog, AtFan, AtArrow, AtBlocks, AtSphere} }

// Help is how much a student is helped.
type Help string

// The helps, most first.
const (
	Led   Help = "led"   // each step with its reason
	Cues  Help = "cues"  // where in the method one is; view and conoid may be looked at
	Alone Help = "alone" // none
)

// Helps are all of them.
func Helps() []Help { return []Help{Led, Cues, Alone} }

// Shown is what a student sees after the end point.
type Shown string

// What is shown. The first is usual.
const (
	ShowsAll     Shown = "all"     // the truth, the marks and the way
	ShowsMarks   Shown = "marks"   // the marks, and not the truth
	ShowsNothing Shown = "nothing" // that the sitting is done
)

// Shows are all of them.
func Shows() []Shown { return []Shown{ShowsAll, ShowsMarks, ShowsNothing} }

// Withholds reports whether the truth is kept back from students after the end point.
func (a *Assignment) Withholds() bool { return a.Shows != "" && a.Shows != ShowsAll }

// In is what the assignment says in a language, or else as it is written.
func (a *Assignment) In(language string) Lesson {
	t := Lesson{a.Title, a.Aims}
	if other := a.Translations[language]; other != (Lesson{}) {
		if t.Title = other.Title; t.Title == "" {
			t.Title = a.Title
		}
		if other.Aims != "" {
			t.Aims = other.Aims
		}
	}
	return t
}

// Window is where a moment lies: before an assignment opens, within, or after it has
// closed.
type Window int

// The windows.
const (
	Before Window = -1
	Within Window = 0
	After  Window = 1
)

// At is the window of a moment, by the clock of wherever the sitting takes place.
func (a *Assignment) At(now time.Time) Window {
	reads := ClockOf(now)
	switch {
	case a.Opens.IsZero() && a.Closes.IsZero():
		return Within
	case !a.Opens.IsZero() && reads.Before(a.Opens.Time):
		return Before
	case !a.Closes.IsZero() && !reads.Before(a.Closes.Time):
		return After
	}
	return Within
}

// Clock is what a clock on the wall reads: date and time to the minute, of no zone.
// Its zone is UTC for want of another.
type Clock struct{ time.Time }

// ClockOf is what the clock reads at a moment, where the moment is told.
func ClockOf(t time.Time) Clock {
	return Clock{time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), 0, 0, time.UTC)}
}

// clockForms are how a clock may be written; the first is how it is.
var clockForms = []string{"2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02T15:04:05", "2006-01-02"}

// parseClock reads one; a day alone is its beginning.
func parseClock(text string) (Clock, bool) {
	for _, form := range clockForms {
		if t, err := time.Parse(form, strings.TrimSpace(text)); err == nil {
			return ClockOf(t), true
		}
	}
	return Clock{}, false
}

// Told is the clock as people are told it.
func (c Clock) Told() fact.Moment { return fact.Moment{Time: c.Time} }

// String is how a clock is written in a file.
func (c Clock) String() string { return c.Format(clockForms[0]) }

// AssignmentFile is the usual name of the file of an assignment.
const AssignmentFile = "assignment.toml"

const (
	assignmentVersion = 1
	assignmentKey     = "conoid-assignment"
	setKey            = "conoid-set" // what the key was called when there were only a title and cases
	mostInSet         = 200
)

// IsAssignment reports whether a file is meant for an assignment and not for a case.
func IsAssignment(data []byte) bool {
	if checkText("", data) != nil {
		return false
	}
	d := parse(data, lessonWants)
	_, is := d.find(assignmentKey)
	_, was := d.find(setKey)
	return is || was
}

// ReadAssignment reads the file of an assignment, but none of its cases; name is the
// file's name for messages. The error is a *Malformed, with every mistake of the
// file, or an *Unsupported for a file of another version.
func ReadAssignment(name string, data []byte) (*Assignment, error) {
	if err := checkText(name, data); err != nil {
		return nil, err
	}
	r := &lessonReader{document: parse(data, lessonWants)}
	for _, key := range []string{assignmentKey, setKey} {
		if err := r.otherVersion(name, key, assignmentVersion); err != nil {
			return nil, err
		}
	}
	r.read()
	if !r.broken {
		r.checkWhole()
		r.checkAll()
	}
	found := mistakes(r.text, r.faults)
	var err error
	if r.a.Marking, err = ReadScheme(name, data); err != nil {
		found = append(found, schemeMistakes(err, found)...)
	}
	if len(found) > 0 {
		slices.SortStableFunc(found, func(a, b Mistake) int {
			if a.Line != b.Line {
				return a.Line - b.Line
			}
			return a.Column - b.Column
		})
		return nil, &Malformed{name, found}
	}
	r.place()
	return &r.a, nil
}

// schemeMistakes are the mistakes of the scheme of a file that are not found yet.
func schemeMistakes(err error, found []Mistake) (out []Mistake) {
	var bad *Malformed
	if !errors.As(err, &bad) {
		return nil
	}
	for _, m := range bad.Mistakes {
		if !slices.ContainsFunc(found, func(f Mistake) bool { return f.Line == m.Line && f.Column == m.Column }) {
			out = append(out, m)
		}
	}
	return out
}

// lessonReader makes an assignment of a document.
type lessonReader struct {
	*document
	a  Assignment
	at []int // bytes of the cases
}

func (r *lessonReader) read() {
	keys := lessonKeys()
	names := make([]string, 0, len(keys))
	for _, k := range keys {
		names = append(names, k.path)
	}
	r.readSections()
	given := map[string]bool{}
	for _, e := range r.entries {
		i := slices.Index(names, e.path)
		switch {
		case i >= 0:
			given[e.path] = true
			if f := keys[i].read(r, e); f != nil {
				r.faults = append(r.faults, *f)
			}
		case e.path == setKey:
			given[assignmentKey] = true
			if f := e.version(assignmentVersion); f != nil {
				r.faults = append(r.faults, *f)
			}
		case inSection(marking, e.path) || e.section != "" && !r.hasSection(e.section):
		default:
			top := slices.DeleteFunc(slices.Clone(names), func(n string) bool { return strings.Contains(n, ".") })
			given[nearest(e.path, top)] = true
			r.fault(e.key, fact.New("assignment.no-key", "key", e.path, "allowed", top, "meant", didYouMean(e.path, top)))
		}
	}
	for _, k := range keys {
		if k.need.ID != "" && !given[k.path] && !r.broken && !r.begun[k.path] {
			r.fault(0, fact.New("case.missing", "key", k.path, "how", k.need))
		}
	}
}

// lessonSections are the sections that an assignment may have beside [marking].
func lessonSections() []string {
	out := []string{marking}
	for _, l := range languages {
		out = append(out, textsOf(l))
	}
	return out
}

// hasSection reports whether an assignment may have a section.
func (r *lessonReader) hasSection(name string) bool {
	return name == "texts" || inSection(marking, name) || slices.Contains(lessonSections(), name)
}

func (r *lessonReader) readSections() {
	for _, s := range r.sections {
		if !r.hasSection(s.path) {
			allowed := lessonSections()
			r.fault(s.at, fact.New("assignment.no-section", "section", s.path, "allowed", allowed, "meant", didYouMean(s.path, allowed)))
		}
	}
}

// checkAll finds what no single key shows.
func (r *lessonReader) checkAll() {
	a := &r.a
	if !a.Opens.IsZero() && !a.Closes.IsZero() && !a.Opens.Before(a.Closes.Time) {
		r.fault(r.seen["closes"], fact.New("assignment.closes-first", "opens", a.Opens.Told(), "closes", a.Closes.Told()))
	}
}

// cases reads the list of cases.
func (r *lessonReader) cases(e entry) *fault {
	if e.kind != isList {
		return e.wrongType(fact.New("assignment.write.files"))
	}
	if n := len(e.items); n == 0 || n > mostInSet {
		return e.fault(fact.New("assignment.count", "n", fact.Count(n), "most", fact.Count(mostInSet)))
	}
	before := map[string]bool{}
	for _, item := range e.items {
		if f := checkListed(item, before); f != nil {
			r.faults = append(r.faults, *f)
		}
		before[path.Clean(item.text)] = true
		r.a.Cases = append(r.a.Cases, Listed{File: item.text})
		r.at = append(r.at, item.at)
	}
	return nil
}

func checkListed(e entry, before map[string]bool) *fault {
	l := Listed{File: e.text}
	switch {
	case e.kind != isText:
		return e.wrongType(fact.New("assignment.write.file"))
	case before[path.Clean(e.text)]:
		return e.fault(fact.New("assignment.twice", "file", shown(e.text)))
	case !filepath.IsLocal(filepath.FromSlash(e.text)) || strings.Contains(e.text, `\`):
		return e.fault(fact.New("assignment.elsewhere", "file", shown(e.text)))
	case l.InLibrary() && !slices.Contains(libraryOrder, e.text):
		return e.fault(fact.New("assignment.no-case", "file", shown(e.text), "ending", SealedEnding, "library", libraryOrder, "meant", didYouMean(e.text, libraryOrder)))
	}
	return nil
}

// place gives the cases their lines and columns.
func (r *lessonReader) place() {
	for i, at := range r.at {
		line := bytes.Count(r.text[:at], []byte("\n")) + 1
		start := bytes.LastIndexByte(r.text[:at], '\n') + 1
		r.a.Cases[i].Line, r.a.Cases[i].Column = line, utf8.RuneCount(r.text[start:at])+1
	}
}
