package editor

import (
	"cmp"
	"html/template"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"conoid/cases"
	"conoid/render/voice"
	"conoid/sim/fact"
)

// group is fields under one heading.
type group struct {
	ID, Title, About string
	Open             bool
	Rows             []row
}

// row is fields side by side: one, or a text in two languages.
type row struct {
	Fields []field
}

// field is a key as the page shows it.
type field struct {
	Path, ID, Label, About, Unit, Range, Hint string
	Kind                                      cases.FieldKind
	Needed, Long                              bool // long is text that needs more than a line to be seen
	Options                                   []option
	Levels                                    []level
	Beside                                    string // the field that cannot stand beside it
	In                                        string // the language of a text beside that of the file, by its code
}

type option struct{ Value, Label string }

type level struct{ Value, Shown, Word, Use string }

// heading is what a group is, and which fields it takes that none before it has taken.
type heading struct {
	id    string
	takes func(part, path string) bool
	open  bool
}

// groups are the headings in their order, with the sections and keys below them; those
// that are open at first are what every case needs.
var groups = []heading{
	{"texts", isText, true},
	{"patient", func(part, path string) bool { return part == "patient" || path == "level" }, true},
	{"right", in("right"), true},
	{"left", in("left"), true},
	{"room", in("room"), false},
	{"patient.manner", in("patient.manner"), false},
	{"patient.accommodation", in("patient.accommodation"), false},
	{"right.aberrations", in("right.aberrations"), false},
	{"left.aberrations", in("left.aberrations"), false},
	{"marking", in("marking"), false},
	{"marking.conduct", in("marking.conduct"), false},
	{"file", func(string, string) bool { return true }, false},
}

func in(name string) func(part, path string) bool {
	return func(part, _ string) bool { return part == name }
}

// isText reports whether a key is a text that students read, of which there can be one in each
// language.
func isText(part, path string) bool {
	return path == "title" || path == "story" || path == "patient.symptoms" || strings.HasPrefix(part, "texts.")
}

// formOf is the form in the words of a voice.
func formOf(v voice.Voice) (out []group) {
	for i, g := range groups {
		made := group{ID: g.id, Title: v.Text("editor.group." + g.id), Open: g.open}
		if id := "editor.about." + g.id; v.Has(id) {
			made.About = v.Text(id)
		}
		for _, p := range cases.Form() {
			for _, f := range p.Fields {
				if slices.IndexFunc(groups, func(h heading) bool { return h.takes(p.Name, f.Path) }) == i {
					made.add(f, fieldOf(v, f))
				}
			}
			if p.Name == g.id && made.About == "" && p.About.ID != "" {
				made.About = v.Say(p.About)
			}
		}
		out = append(out, made)
	}
	return out
}

// add adds a field; a text in another language stands beside its own.
func (g *group) add(of cases.Field, f field) {
	if of.In != "" {
		for i := range g.Rows {
			if path := g.Rows[i].Fields[0].Path; path == of.Name || strings.HasSuffix(path, "."+of.Name) {
				g.Rows[i].Fields = append(g.Rows[i].Fields, f)
				return
			}
		}
	}
	g.Rows = append(g.Rows, row{[]field{f}})
}

// longLine is how many characters a field of one line shows, about.
const longLine = 100

func fieldOf(v voice.Voice, f cases.Field) field {
	out := field{Path: f.Path, ID: "f-" + strings.ReplaceAll(f.Path, ".", "-"), Label: labelOf(v, f), Kind: f.Kind, In: f.In, Needed: f.Needed, Long: f.Most > longLine}
	switch id := "editor.about." + f.Key; {
	case f.Key != "" && v.Has(id):
		out.About = v.Text(id)
	case f.About.ID != "":
		out.About = v.Say(f.About)
	}
	if isRemark(f) {
		out.About = v.Text("editor.about.remark")
	}
	if f.Unit.ID != "" {
		out.Unit = v.Say(f.Unit)
	}
	if f.Range.ID != "" {
		out.Range = v.Say(f.Range)
	}
	switch {
	case f.Usual != "":
		out.Hint = v.Text("editor.usual-is", "value", optionOf(v, f.Path, f.Usual).Label)
	case f.Example != "":
		out.Hint = v.Text("editor.such-as", "value", optionOf(v, f.Path, f.Example).Label)
	}
	for _, o := range f.Options {
		out.Options = append(out.Options, optionOf(v, f.Path, o))
	}
	for _, l := range f.Levels {
		word := v.Say(l.Word)
		out.Levels = append(out.Levels, level{l.Value, shown(v, l.Value), word, v.Text("editor.use", "label", out.Label, "value", shown(v, l.Value), "word", word)})
	}
	if section := f.Path[:max(0, strings.LastIndexByte(f.Path, '.'))]; strings.HasSuffix(section, ".aberrations") {
		out.Beside = section
	}
	return out
}

// isRemark reports whether a field is for a tutor's own words beside a finding.
func isRemark(f cases.Field) bool { return strings.HasPrefix(f.Path, "feedback.") }

// labelOf is the short name of a field.
func labelOf(v voice.Voice, f cases.Field) string {
	if f.In != "" {
		own := f
		own.In, own.Key = "", strings.TrimPrefix(f.Key, "texts.")
		return v.Text("editor.in", "label", labelOf(v, own), "language", fact.New("case.language."+f.In))
	}
	switch {
	case isRemark(f):
		return v.Text("finding." + f.Name)
	case f.Key == "" && f.Index != "diameter":
		return v.Text("editor.coefficient", "n", f.Index)
	}
	return v.Text("editor.key." + cmp.Or(f.Key, f.Index))
}

// optionOf is a word that a key can have, as people say it where we have a word.
func optionOf(v voice.Voice, path, value string) option {
	name := path[strings.LastIndexByte(path, '.')+1:]
	for _, id := range []string{"editor.option." + name + "." + value, "editor.option." + value} {
		if v.Has(id) {
			return option{value, v.Text(id)}
		}
	}
	return option{value, shown(v, value)}
}

// shown is a value as people write it: a number with the decimal sign of the language, and so
// those of a prescription.
func shown(v voice.Voice, value string) string {
	if n, err := strconv.ParseFloat(value, 64); err == nil {
		return v.Value(fact.Number(n))
	}
	if rx.MatchString(value) {
		return strings.NewReplacer("-", "−", ".", v.Value(fact.Number(0.5))[1:2]).Replace(value)
	}
	return value
}

// rx is a prescription as a case file has it, and no acuity.
var rx = regexp.MustCompile(`^[+-]\d+\.\d\d / `)

var pageHTML = template.Must(template.ParseFS(page, "page/editor.html"))

// pageWords are those that the script says.
var pageWords = []string{"saved", "unsaved", "new", "saving", "ready", "looking", "waiting", "other-page", "lost", "no-mistakes", "until-mended",
	"no-warnings", "saved-with", "seen"}

func (e *Editor) servePage(w http.ResponseWriter, v voice.Voice) {
	words := map[string]string{} // in the page as JSON
	for _, id := range pageWords {
		words[id] = v.Ways("editor." + id)[0]
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	pageHTML.Execute(w, map[string]any{
		"Language": v.Language, "File": e.file.name(), "Groups": formOf(v), "Words": words, "Caution": v.Text("caution"), "Bench": e.bench,
		"Text": func(id string) string { return v.Text("editor." + id) },
		"Say":  func() string { return v.Text("editor.changed", "file", e.file.name()) },
	})
}
