package cases

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
)

// lessonKey is one key of the file of an assignment: how it is read, written and
// explained.
type lessonKey struct {
	path    string
	about   string    // the ID of its explanation
	need    fact.Fact // what to write when it is missing and must not be
	kind    kind      // of the value
	options []string  // the words that are allowed, if only some are
	example string    // shown in a new file when the key is not given
	json    rule      // what the JSON Schema allows
	read    func(r *lessonReader, e entry) *fault
	write   func(a *Assignment) (value string, given bool) // as TOML
}

// The most that an assignment may ask for. The project's choice.
const (
	mostAttempts = 20
	mostMinutes  = 240
	mostAims     = 1000
)

// lessonKeys are all keys, in the order in which they are written; those of its
// sections come last, and [marking] has its own.
func lessonKeys() []lessonKey {
	keys := []lessonKey{
		{
			path: assignmentKey, about: "version", kind: isWhole, json: rule{"const": assignmentVersion},
			need:  fact.New("case.need.version", "key", assignmentKey, "version", fact.Count(assignmentVersion)),
			read:  func(_ *lessonReader, e entry) *fault { return e.version(assignmentVersion) },
			write: func(*Assignment) (string, bool) { return strconv.Itoa(assignmentVersion), true },
		},
		lessonText("title", mostTitle, false, func(a *Assignment) *string { return &a.Title }).needed("assignment.need.title"),
		lessonText("aims", mostAims, true, func(a *Assignment) *string { return &a.Aims }),
		{
			path: "cases", about: "cases", kind: isList, json: listedRule(), need: fact.New("assignment.need.cases"),
			read: func(r *lessonReader, e entry) *fault { return r.cases(e) },
			write: func(a *Assignment) (string, bool) {
				return filesOf(a.Cases), true
			},
		},
		lessonClock("opens", func(a *Assignment) *Clock { return &a.Opens }),
		lessonClock("closes", func(a *Assignment) *Clock { return &a.Closes }),
		lessonWhole("minutes", mostMinutes, "20",
			func(a *Assignment) int { return int(a.Limit / time.Minute) },
			func(a *Assignment, n int) { a.Limit = time.Duration(n) * time.Minute }),
		lessonWhole("attempts", mostAttempts, "2",
			func(a *Assignment) int { return a.Attempts },
			func(a *Assignment, n int) { a.Attempts = n }),
		lessonChoice("begin", Stages(), func(a *Assignment) *Stage { return &a.Begin }),
		lessonChoice("help", Helps(), func(a *Assignment) *Help { return &a.Help }),
		lessonChoices("charts", chart.Names(), func(a *Assignment) *[]chart.Name { return &a.Charts }),
		lessonChoices("questions", patient.Questions(), func(a *Assignment) *[]patient.Question { return &a.Questions }),
		lessonChoice("shows", Shows(), func(a *Assignment) *Shown { return &a.Shows }),
	}
	for _, l := range languages {
		keys = append(keys,
			lessonTranslated(l, "title", mostTitle, false, func(t *Lesson) *string { return &t.Title }),
			lessonTranslated(l, "aims", mostAims, true, func(t *Lesson) *string { return &t.Aims }))
	}
	return keys
}

// lessonWants is what a key of an assignment takes.
func lessonWants(path string) (want, bool) {
	if path == setKey {
		path = assignmentKey
	}
	for _, k := range lessonKeys() {
		if k.path == path {
			return want{kind: k.kind, exact: true, fits: func(e entry) bool { return e.kind == k.kind }}, true
		}
	}
	if inSection(marking, path) {
		return wants(path)
	}
	return want{}, false
}

// needed is a key that must not be missing; how is the ID of what to write. It must
// not be empty either.
func (k lessonKey) needed(how string) lessonKey {
	k.need = fact.New(how)
	k.json["allOf"] = []rule{{"pattern": filledPattern}}
	read := k.read
	k.read = func(r *lessonReader, e entry) *fault {
		if f := read(r, e); f != nil {
			return f
		}
		return e.empty()
	}
	return k
}

func lessonText(name string, most int, lines bool, field func(*Assignment) *string) lessonKey {
	return lessonKey{
		path: name, about: name, kind: isText, example: `"…"`, json: texts(most, lines),
		read: func(r *lessonReader, e entry) *fault {
			v, f := e.free(most, lines)
			*field(&r.a) = v
			return f
		},
		write: func(a *Assignment) (string, bool) { return toText(*field(a)), *field(a) != "" },
	}
}

func lessonTranslated(language, name string, most int, lines bool, field func(*Lesson) *string) lessonKey {
	return lessonKey{
		path: textsOf(language) + "." + name, about: "texts." + name, kind: isText, example: `"…"`, json: texts(most, lines),
		read: func(r *lessonReader, e entry) *fault {
			v, f := e.free(most, lines)
			if f != nil || v == "" {
				return f
			}
			t := r.a.Translations[language]
			*field(&t) = v
			if r.a.Translations == nil {
				r.a.Translations = map[string]Lesson{}
			}
			r.a.Translations[language] = t
			return nil
		},
		write: func(a *Assignment) (string, bool) {
			t := a.Translations[language]
			return toText(*field(&t)), *field(&t) != ""
		},
	}
}

// lessonClock is a date and a time. It may stand between quotation marks or, as TOML
// has it, without.
func lessonClock(name string, field func(*Assignment) *Clock) lessonKey {
	return lessonKey{
		path: name, about: name, kind: isText, example: `"2030-01-31 18:00"`, json: rule{"type": "string", "pattern": clockPattern},
		read: func(r *lessonReader, e entry) *fault {
			if e.kind != isText && e.kind != isDate {
				return e.wrongType(fact.New("assignment.write.clock"))
			}
			c, ok := parseClock(e.text)
			if !ok {
				return e.fault(fact.New("assignment.no-clock", "key", e.path, "text", shown(e.text)))
			}
			*field(&r.a) = c
			return nil
		},
		write: func(a *Assignment) (string, bool) { return toText(field(a).String()), !field(a).IsZero() },
	}
}

// lessonWhole is a whole number from 1; none is 0.
func lessonWhole(name string, most float64, example string, get func(*Assignment) int, set func(*Assignment, int)) lessonKey {
	return lessonKey{
		path: name, about: name, kind: isWhole, example: example, json: integers(limits{1, most, pure}),
		read: func(r *lessonReader, e entry) *fault {
			v, f := e.whole(limits{1, most, pure})
			if f == nil {
				set(&r.a, int(v))
			}
			return f
		},
		write: func(a *Assignment) (string, bool) { return strconv.Itoa(get(a)), get(a) != 0 },
	}
}

// lessonChoice is one word out of several; none is "".
func lessonChoice[T ~string](name string, options []T, field func(*Assignment) *T) lessonKey {
	return lessonKey{
		path: name, about: name, kind: isText, options: texted(options), example: toText(string(options[0])), json: rule{"enum": options},
		read: func(r *lessonReader, e entry) *fault {
			f := e.oneOf(texted(options))
			if f == nil {
				*field(&r.a) = T(e.text)
			}
			return f
		},
		write: func(a *Assignment) (string, bool) { return toText(string(*field(a))), *field(a) != "" },
	}
}

// lessonChoices are some words out of several; none of them is all.
func lessonChoices[T ~string](name string, options []T, field func(*Assignment) *[]T) lessonKey {
	return lessonKey{
		path: name, about: name, kind: isList, options: texted(options), example: listOf(options),
		json: rule{"type": "array", "minItems": 1, "items": rule{"enum": options}},
		read: func(r *lessonReader, e entry) *fault {
			if e.kind != isList || len(e.items) == 0 {
				return e.wrongType(fact.New("assignment.write.some", "options", quoted(texted(options))))
			}
			for _, item := range e.items {
				if f := item.oneOf(texted(options)); f != nil {
					return f
				}
				if !slices.Contains(*field(&r.a), T(item.text)) {
					*field(&r.a) = append(*field(&r.a), T(item.text))
				}
			}
			return nil
		},
		write: func(a *Assignment) (string, bool) { return listOf(*field(a)), *field(a) != nil },
	}
}

// oneOf finds a value that is none of the words that are allowed.
func (e entry) oneOf(options []string) *fault {
	if e.kind != isText {
		return e.wrongType(fact.New("case.write.choice", "options", quoted(options)))
	}
	if !slices.Contains(options, e.text) {
		return e.fault(fact.New("case.choice", "key", e.name(), "value", shown(e.text), "allowed", quoted(options), "meant", didYouMean(e.text, options)))
	}
	return nil
}

func texted[T ~string](options []T) []string {
	out := make([]string, len(options))
	for i, o := range options {
		out[i] = string(o)
	}
	return out
}

// listOf is a list as TOML.
func listOf[T ~string](items []T) string {
	return "[" + strings.Join(textsTOML(items), ", ") + "]"
}

// textsTOML are texts as TOML.
func textsTOML[T ~string](items []T) []string {
	parts := make([]string, len(items))
	for i, item := range items {
		parts[i] = toText(string(item))
	}
	return parts
}

// filesOf is a list of cases as TOML, a line each.
func filesOf(cases []Listed) string {
	files := make([]string, len(cases))
	for i, l := range cases {
		files[i] = l.File
	}
	return "[\n  " + strings.Join(textsTOML(files), ",\n  ") + ",\n]"
}

// WriteAssignment writes a as the file of an assignment: ReadAssignment gives the
// same back.
func WriteAssignment(a *Assignment, words Words) []byte {
	var b bytes.Buffer
	section := ""
	for _, k := range lessonKeys() {
		value, given := k.write(a)
		if !given {
			continue
		}
		name := k.path
		if i := strings.LastIndexByte(name, '.'); i >= 0 {
			if name[:i] != section {
				section = name[:i]
				fmt.Fprintf(&b, "\n[%s]\n", section)
			}
			name = name[i+1:]
		}
		if k.path == "cases" {
			b.WriteString("\n" + comment(words(fact.New("assignment.order"))))
		}
		fmt.Fprintf(&b, "%s = %s\n", name, value)
	}
	if a.Marking != nil {
		b.WriteString(WriteScheme(*a.Marking))
	}
	return b.Bytes()
}

// AssignmentTemplate is a new assignment with every key explained, ready to be
// changed.
func AssignmentTemplate(words Words) []byte {
	a := &Assignment{
		Title: words(fact.New("assignment.new.title")), Aims: words(fact.New("assignment.new.aims")),
		Cases: []Listed{{File: libraryOrder[0]}, {File: libraryOrder[1]}}, Help: Cues, Shows: ShowsAll,
	}
	var b bytes.Buffer
	b.WriteString(comment(words(fact.New("assignment.new.about"))) + "\n")
	for _, k := range lessonKeys() {
		if strings.Contains(k.path, ".") {
			continue
		}
		b.WriteString(comment(words(k.explained())))
		value, given := k.write(a)
		if !given {
			fmt.Fprintf(&b, "# %s = %s\n\n", k.path, k.example)
			continue
		}
		fmt.Fprintf(&b, "%s = %s\n\n", k.path, value)
	}
	b.WriteString(comment(words(fact.New("assignment.new.sections"))))
	return b.Bytes()
}

// explained is what the key is for.
func (k lessonKey) explained() fact.Fact {
	return fact.New("assignment.key."+k.about, "options", quoted(k.options))
}
