package cases

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// key is one key of a case file: how it is read, written and explained.
type key struct {
	path    string
	about   string                                   // the ID of its explanation; empty for none
	options []string                                 // the words that are allowed, if only some are
	example string                                   // shown in the template when the case leaves the key out
	need    fact.Fact                                // what to write when the key is missing and must not be
	tested  bool                                     // needed only in the eye that is tested
	unit    unit                                     // of a number
	lines   bool                                     // its text may have more than one line
	levels  fact.Fact                                // its explanation, with what is little and much of it; none for most
	json    rule                                     // what the JSON Schema allows
	read    func(c *Case, e entry) *fault            // sets the value, or tells what is wrong with it
	write   func(c *Case) (value string, given bool) // as TOML
}

// want is what the key takes.
func (k key) want(exact bool) want {
	w := want{kind: isText, unit: k.unit, exact: exact, fits: func(e entry) bool { return k.read(blank(""), e) == nil }}
	switch {
	case k.json["type"] == "number":
		w.kind = isFraction
	case k.json["type"] == "integer" || k.json["const"] != nil:
		w.kind = isWhole
	case k.json["type"] == "boolean":
		w.kind = isBool
	}
	return w
}

// explained is what the key is for.
func (k key) explained() fact.Fact {
	if k.levels.ID != "" {
		return k.levels
	}
	return fact.New("case.key."+k.about, "path", k.path, "options", quoted(k.options))
}

// limits are the least and the largest value of a number, and its unit.
type limits struct {
	least, most float64
	unit        unit
}

// unit is a unit of numbers in a file.
type unit string

// The units.
const (
	pure        unit = ""
	years       unit = "years"
	seconds     unit = "seconds"
	metres      unit = "metres"
	millimetres unit = "millimetres"
	micrometres unit = "micrometres"
	dioptres    unit = "dioptres"
	candelas    unit = "candelas"
	points      unit = "points"
	percent     unit = "percent"
	times       unit = "times"
	timesPar    unit = "times-par"
)

// Name is the ID of the unit's word.
func (u unit) Name() string { return "case.unit." + string(u) }

// allowed is from where to where a number may be.
func (l limits) allowed() fact.Fact {
	if l.unit == pure {
		return fact.New("case.range", "least", fact.Number(l.least), "most", fact.Number(l.most))
	}
	return fact.New("case.range-of", "least", fact.Number(l.least), "most", fact.Number(l.most), "unit", l.unit)
}

// toNumber is how numbers are written in a file.
func toNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

var quoting = strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`)

// toText is how text is written in a file. Control characters other than a
// new line are not allowed in a case.
func toText(s string) string { return `"` + quoting.Replace(s) + `"` }

func (e entry) fault(what fact.Fact) *fault { return &fault{e.at, what} }

// wrongType says what the value is, and what is to be written.
func (e entry) wrongType(write fact.Fact) *fault {
	return e.fault(fact.New("case.type", "key", e.name(), "is", e.what(), "write", write))
}

func (e entry) what() any {
	switch e.kind {
	case isText:
		return fact.New("case.is.text", "text", shown(e.text))
	case isWhole, isFraction:
		return fact.New("case.is.number", "number", e.text)
	case isBool:
		return e.text
	case isList:
		return fact.New("case.is.list")
	}
	return fact.New("case.is.date")
}

// shown quotes what a file says, and not too much of it.
func shown(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return strconv.Quote(s)
}

// float reads a number, whole or not.
func (e entry) float(l limits) (float64, *fault) {
	if e.kind != isFraction && e.kind != isWhole {
		return 0, e.wrongType(fact.New("case.write.number", "range", l.allowed()))
	}
	digits := strings.ReplaceAll(e.text, "_", "")
	v, err := strconv.ParseFloat(digits, 64)
	if e.kind == isWhole {
		var whole int64
		whole, err = strconv.ParseInt(digits, 0, 64)
		v = float64(whole)
	}
	if err != nil || !(v >= l.least && v <= l.most) {
		return 0, e.fault(fact.New("case.out-of-range", "key", e.path, "value", e.text, "allowed", l.allowed()))
	}
	return v, nil
}

// whole reads a whole number.
func (e entry) whole(l limits) (uint64, *fault) {
	if e.kind == isFraction {
		return 0, e.wrongType(fact.New("case.write.whole", "range", l.allowed()))
	}
	if _, f := e.float(l); f != nil {
		return 0, f
	}
	v, _ := strconv.ParseInt(strings.ReplaceAll(e.text, "_", ""), 0, 64)
	return uint64(v), nil
}

func number(path, about string, l limits, field func(*Case) *float64) key {
	return key{
		path: path, about: about, json: numbers(l), unit: l.unit,
		read: func(c *Case, e entry) *fault {
			v, f := e.float(l)
			if f == nil {
				*field(c) = v
			}
			return f
		},
		write: func(c *Case) (string, bool) { return toNumber(*field(c)), true },
	}
}

// optional is a number that may be left out.
func optional(path, about string, l limits, field func(*Case) **float64, example string) key {
	return key{
		path: path, about: about, example: example, json: numbers(l), unit: l.unit,
		read: func(c *Case, e entry) *fault {
			v, f := e.float(l)
			if f == nil {
				*field(c) = &v
			}
			return f
		},
		write: func(c *Case) (string, bool) {
			if v := *field(c); v != nil {
				return toNumber(*v), true
			}
			return "", false
		},
	}
}

// free is free text of up to so many characters; lines allows it more than one.
func free(path, about string, most int, lines bool, field func(*Case) *string) key {
	return key{
		path: path, about: about, json: texts(most, lines), lines: lines,
		read: func(c *Case, e entry) *fault {
			v, f := e.free(most, lines)
			if f == nil {
				*field(c) = v
			}
			return f
		},
		write: func(c *Case) (string, bool) { return toText(*field(c)), *field(c) != "" },
	}
}

// free reads free text.
func (e entry) free(most int, lines bool) (string, *fault) {
	if e.kind != isText {
		return "", e.wrongType(fact.New("case.write.text"))
	}
	if n := utf8.RuneCountInString(e.text); n > most {
		return "", e.fault(fact.New("case.long", "key", e.path, "n", fact.Count(n), "most", fact.Count(most)))
	}
	for i, r := range e.text {
		if !unicode.IsPrint(r) && !isBlank(r) && !(lines && (r == '\n' || r == '\r')) {
			f := e.fault(fact.New("case.character", "key", e.path, "code", fmt.Sprintf("%U", r)))
			if e.plain {
				f.at += 1 + i
			}
			return "", f
		}
	}
	return paragraphs(e.text), nil
}

// isBlank reports whether a sign is a blank of some width, or a tab. They all
// become plain blanks.
func isBlank(r rune) bool { return r == '\t' || unicode.Is(unicode.Zs, r) }

// needed is a key that must not be missing where its section is there; how is
// what to write.
func needed(k key, how fact.Fact) key {
	k.need = how
	return k
}

// shownAs is a key that the template shows with an example where the case leaves it out.
func shownAs(k key, example string) key {
	k.example = example
	return k
}

// offeredChoice is one word out of several, or none.
func offeredChoice(path, about string, options []string, get func(*Case) string, set func(*Case, string)) key {
	k := shownAs(choice(path, about, options, get, set), toText(options[0]))
	k.write = func(c *Case) (string, bool) { return toText(get(c)), get(c) != "" }
	return k
}

// empty finds text that says nothing.
func (e entry) empty() *fault {
	if strings.TrimSpace(e.text) == "" {
		return e.fault(fact.New("case.empty", "key", e.path))
	}
	return nil
}

// filled is text that must not be empty.
func filled(k key) key {
	k.json["allOf"] = []rule{{"pattern": filledPattern}}
	read := k.read
	k.read = func(c *Case, e entry) *fault {
		if f := read(c, e); f != nil {
			return f
		}
		return e.empty()
	}
	return k
}

// paragraphs joins the lines of each paragraph, so that they can be set in any
// width. An empty line parts two paragraphs.
func paragraphs(s string) string {
	var out []string
	for _, p := range emptyLines.Split(s, -1) {
		if p = strings.Join(strings.Fields(p), " "); p != "" {
			out = append(out, p)
		}
	}
	return strings.Join(out, "\n\n")
}

var emptyLines = regexp.MustCompile(`\n\s*\n`)

// choice is one word out of several.
func choice(path, about string, options []string, get func(*Case) string, set func(*Case, string)) key {
	return key{
		path: path, about: about, options: options, json: rule{"enum": options},
		read: func(c *Case, e entry) *fault {
			if e.kind != isText {
				return e.wrongType(fact.New("case.write.choice", "options", quoted(options)))
			}
			if !slices.Contains(options, e.text) {
				return e.fault(fact.New("case.choice", "key", e.path, "value", shown(e.text), "allowed", quoted(options), "meant", didYouMean(e.text, options)))
			}
			set(c, e.text)
			return nil
		},
		write: func(c *Case) (string, bool) { return toText(get(c)), true },
	}
}

// yesNo is true or false.
func yesNo(path, about string, field func(*Case) *bool) key {
	return key{
		path: path, about: about, json: rule{"type": "boolean"},
		read: func(c *Case, e entry) *fault {
			if e.kind != isBool {
				return e.wrongType(fact.New("case.write.yes-no"))
			}
			*field(c) = e.text == "true"
			return nil
		},
		write: func(c *Case) (string, bool) { return strconv.FormatBool(*field(c)), true },
	}
}

// parseFault points into the text, where that is possible.
func (e entry) parseFault(err error) *fault {
	f := e.fault(fact.New("case.not-read", "key", e.path, "cause", err))
	var bad *optics.ParseError
	if errors.As(err, &bad) && e.plain {
		f.at += 1 + bad.Pos
	}
	return f
}

// acuity is an acuity in any notation; empty when the record card shows what
// the simulation finds.
func acuity(path, about string, field func(*Case) *string, example string) key {
	return key{
		path: path, about: about, example: example, json: rule{"type": "string", "pattern": acuityPattern()},
		read: func(c *Case, e entry) *fault {
			if e.kind != isText {
				return e.wrongType(fact.New("case.write.acuity"))
			}
			text := strings.Join(strings.Fields(e.text), " ")
			if _, err := patient.ParseAcuity(text); err != nil {
				return e.fault(fact.New("case.not-read", "key", e.path, "cause", err))
			}
			*field(c) = text
			return nil
		},
		write: func(c *Case) (string, bool) { return toText(*field(c)), *field(c) != "" },
	}
}
