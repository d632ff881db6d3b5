package cases

import (
	"strings"

	"conoid/sim/fact"
)

// Part is a section of a case file as a form shows it.
type Part struct {
	Name   string    // "" for the top of the file
	About  fact.Fact // its explanation; no ID for none
	Fields []Field
}

// Field is a key of a case file as a form shows it.
type Field struct {
	Path    string
	Name    string    // within its section
	In      string    // the language of a text beside that of the file, by its code; "" for none
	Key     string    // what names it in all eyes and languages: the ID of its explanation; "" for a coefficient
	Index   string    // of a coefficient
	About   fact.Fact // its explanation; no ID for none
	Kind    FieldKind
	Unit    fact.Fact // of a number; no ID for none
	Range   fact.Fact // of a number; no ID for none
	Options []string  // the words that are allowed
	Most    int       // characters of a text; 0 for no limit
	Needed  bool      // in every case; in the other eye and among coefficients it is only where there are others
	Usual   string    // what counts where it is left out, where that is a value
	Example string
	Levels  []Level
}

// FieldKind is how a value is written.
type FieldKind string

// The kinds of fields.
const (
	LineField   FieldKind = "line"   // text
	LinesField  FieldKind = "lines"  // text in paragraphs
	NumberField FieldKind = "number" // whole or not
	ChoiceField FieldKind = "choice" // one of the options
	YesNoField  FieldKind = "yes-no" // true or false
	SourceField FieldKind = "source" // one of the options, or a whole number
)

// Level is how much of a trait is little, usual or much, with the word for it.
type Level struct {
	Value string
	Word  fact.Fact
}

// Form is the case file as a form: a field for every key. What the manner starts from
// is the field of the manner, wherever it stands in the file.
func Form() (out []Part) {
	usual := blank("")
	for _, s := range schema() {
		p := Part{Name: s.name}
		if s.about != "" {
			p.About = s.explained()
		}
		for _, k := range s.keys {
			if k.path != likePath {
				p.Fields = append(p.Fields, k.field(s, usual))
			}
		}
		if len(p.Fields) > 0 {
			out = append(out, p)
		}
	}
	return out
}

func (k key) field(s section, usual *Case) Field {
	f := Field{
		Path: k.path, Name: s.short(k), In: s.language, Key: k.about, Options: k.options, Needed: k.need.ID != "" && !s.fine, Kind: k.fieldKind(),
		Example: strings.Trim(k.example, `"…`), Usual: k.usual(usual),
	}
	if k.about == "" {
		f.Index = s.short(k)
	}
	if k.about != "" {
		f.About = k.explained()
	}
	if about, ok := k.levels.Values["about"].(fact.Fact); ok {
		f.About, f.Levels = about, steps(k.levels)
	}
	if most, ok := k.json["maxLength"].(int); ok {
		f.Most = most
	}
	if least, most, ok := k.bounds(); ok {
		f.Range = limits{least, most, k.unit}.allowed()
	}
	if k.unit != pure {
		f.Unit = fact.New(k.unit.Name())
	}
	return f
}

func (k key) bounds() (least, most float64, ok bool) {
	least, ok = k.json["minimum"].(float64)
	most, _ = k.json["maximum"].(float64)
	return least, most, ok
}

func (k key) fieldKind() FieldKind {
	switch w := k.want(true); {
	case k.drawn():
		return SourceField
	case w.kind == isFraction || w.kind == isWhole:
		return NumberField
	case w.kind == isBool:
		return YesNoField
	case len(k.options) > 0:
		return ChoiceField
	case k.lines:
		return LinesField
	}
	return LineField
}

// usual is what counts where a key is left out of a file: nothing where that follows
// from other keys.
func (k key) usual(c *Case) string {
	switch {
	case k.need.ID != "" || k.about == "level":
		return ""
	case strings.HasPrefix(k.path, marking+"."):
		return k.example
	}
	value, _ := k.write(c)
	return strings.Trim(value, `"`)
}

func steps(f fact.Fact) (out []Level) {
	of := func(value, word string) {
		n, _ := f.Values[value].(fact.Number)
		w, ok := f.Values[word].(fact.Fact)
		if !ok {
			w = fact.New("case.usual")
		}
		out = append(out, Level{toNumber(float64(n)), w})
	}
	of("low", "few")
	of("usual", "")
	of("high", "many")
	return out
}

// UsualTraits are what the traits of a person's manner are where the file leaves them
// out: those of the manner that it names.
func (c *Case) UsualTraits() map[string]string {
	out, named := map[string]string{}, blank("")
	setManner(named, c.MannerName)
	for _, k := range mannerKeys()[1:] {
		out[k.path], _ = k.write(named)
	}
	return out
}
