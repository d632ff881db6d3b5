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

	"github.com/pelletier/go-toml/v2/unstable"

	"conoid/sim/optics"
	"conoid/sim/patient"
)

// key is one key of a case file: how it is read, written and explained.
type key struct {
	path    string
	doc     string                                   // for the template
	example string                                   // shown in the template when the case leaves the key out
	need    string                                   // what to write when the key is missing and must not be
	tested  bool                                     // needed only in the eye that is tested
	json    rule                                     // what the JSON Schema allows
	read    func(c *Case, e entry) *fault            // sets the value, or tells what is wrong with it
	write   func(c *Case) (value string, given bool) // as TOML
}

// limits are the least and the largest value of a number, and its unit.
type limits struct {
	least, most float64
	unit        string
}

func (l limits) String() string {
	s := text(l.least)
	if l.most > l.least {
		s += " to " + text(l.most)
	}
	if l.unit != "" {
		s += " " + l.unit
	}
	return s
}

// text writes a number for people.
func text(v float64) string {
	return strings.ReplaceAll(strconv.FormatFloat(v, 'f', -1, 64), "-", "−")
}

// toNumber is how numbers are written in a file.
func toNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

var quoting = strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`)

// toText is how text is written in a file. Control characters other than a
// new line are not allowed in a case.
func toText(s string) string { return `"` + quoting.Replace(s) + `"` }

func (e entry) fault(format string, args ...any) *fault {
	return &fault{e.at, fmt.Sprintf(format, args...)}
}

// wrongType says what the value is, and what is allowed.
func (e entry) wrongType(allowed string) *fault {
	return e.fault("%s is %s; write %s", e.path, e.what(), allowed)
}

func (e entry) what() string {
	switch e.kind {
	case unstable.String:
		return "the text " + shown(e.text)
	case unstable.Integer, unstable.Float:
		return "the number " + e.text
	case unstable.Bool:
		return e.text
	case unstable.Array:
		return "a list"
	}
	return "a date or a time"
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
	if e.kind != unstable.Float && e.kind != unstable.Integer {
		return 0, e.wrongType("a number without quotation marks, " + l.String())
	}
	digits := strings.ReplaceAll(e.text, "_", "")
	v, err := strconv.ParseFloat(digits, 64)
	if e.kind == unstable.Integer {
		var whole int64
		whole, err = strconv.ParseInt(digits, 0, 64)
		v = float64(whole)
	}
	if err != nil || !(v >= l.least && v <= l.most) {
		return 0, e.fault("%s is %s; allowed is %s", e.path, strings.ReplaceAll(e.text, "-", "−"), l)
	}
	return v, nil
}

// whole reads a whole number.
func (e entry) whole(l limits) (uint64, *fault) {
	if e.kind == unstable.Float {
		return 0, e.wrongType("a whole number, " + l.String())
	}
	if _, f := e.float(l); f != nil {
		return 0, f
	}
	v, _ := strconv.ParseInt(strings.ReplaceAll(e.text, "_", ""), 0, 64)
	return uint64(v), nil
}

func number(path string, l limits, field func(*Case) *float64, doc string) key {
	return key{
		path: path, doc: doc, json: numbers(l),
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
func optional(path string, l limits, field func(*Case) **float64, example, doc string) key {
	return key{
		path: path, doc: doc, example: example, json: numbers(l),
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

// words is free text of up to so many characters; lines allows it more than one.
func words(path string, most int, lines bool, field func(*Case) *string, doc string) key {
	return key{
		path: path, doc: doc, json: texts(most, lines),
		read: func(c *Case, e entry) *fault {
			v, f := e.words(most, lines)
			if f == nil {
				*field(c) = v
			}
			return f
		},
		write: func(c *Case) (string, bool) { return toText(*field(c)), *field(c) != "" },
	}
}

// words reads free text.
func (e entry) words(most int, lines bool) (string, *fault) {
	if e.kind != unstable.String {
		return "", e.wrongType("text between quotation marks")
	}
	if n := utf8.RuneCountInString(e.text); n > most {
		return "", e.fault("%s has %d characters; allowed are %d", e.path, n, most)
	}
	for _, r := range strings.ReplaceAll(e.text, "\r\n", "\n") {
		if !unicode.IsPrint(r) && !(lines && r == '\n') {
			return "", e.fault("%s has the character %U in it; allowed are characters that can be printed", e.path, r)
		}
	}
	return paragraphs(e.text), nil
}

// needed is a key that must not be missing where its section is there; how is
// what to write.
func needed(k key, how string) key {
	k.need = how
	return k
}

// filled is text that must not be empty.
func filled(k key) key {
	k.json["allOf"] = []rule{{"pattern": "[^ ]"}}
	read := k.read
	k.read = func(c *Case, e entry) *fault {
		f := read(c, e)
		if f == nil && strings.TrimSpace(e.text) == "" {
			return e.fault("%s is empty; write a few words", e.path)
		}
		return f
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
func choice(path string, options []string, get func(*Case) string, set func(*Case, string), doc string) key {
	allowed := "allowed is " + either(options)
	return key{
		path: path, doc: doc, json: rule{"enum": options},
		read: func(c *Case, e entry) *fault {
			if e.kind != unstable.String {
				return e.wrongType(either(options) + " between quotation marks")
			}
			if !slices.Contains(options, e.text) {
				return e.fault("%s is %s; %s%s", e.path, shown(e.text), allowed, didYouMean(e.text, options))
			}
			set(c, e.text)
			return nil
		},
		write: func(c *Case) (string, bool) { return toText(get(c)), true },
	}
}

// yesNo is true or false.
func yesNo(path string, field func(*Case) *bool, doc string) key {
	return key{
		path: path, doc: doc, json: rule{"type": "boolean"},
		read: func(c *Case, e entry) *fault {
			if e.kind != unstable.Bool {
				return e.wrongType("true or false, without quotation marks")
			}
			*field(c) = e.text == "true"
			return nil
		},
		write: func(c *Case) (string, bool) { return strconv.FormatBool(*field(c)), true },
	}
}

// The largest error of a case, in dioptres: as far as a trial set reaches, and
// cylinders a little further.
const (
	maxSphere   = 20
	maxCylinder = 8
)

// prescription is a sphere and a cylinder of either sign.
func prescription(path string, field func(*Case) *optics.Rx, doc string) key {
	return key{
		path: path, doc: doc, json: rule{"type": "string"},
		read: func(c *Case, e entry) *fault {
			if e.kind != unstable.String {
				return e.wrongType(`a prescription between quotation marks, such as "-1.00 / -2.00 x 30"`)
			}
			rx, err := optics.ParseRx(e.text)
			if err != nil {
				return e.parseFault(err)
			}
			rx = rx.MinusCyl()
			if !(rx.Sphere >= -maxSphere && rx.Sphere <= maxSphere && rx.Cyl >= -maxCylinder) {
				return e.fault("%s is %s; allowed are spheres to ±%d D and cylinders to %d D", e.path, rx, maxSphere, maxCylinder)
			}
			*field(c) = rx
			return nil
		},
		write: func(c *Case) (string, bool) { return toText(field(c).ASCII()), true },
	}
}

// parseFault points into the text, where that is possible.
func (e entry) parseFault(err error) *fault {
	f := e.fault("%s: %v", e.path, err)
	var bad *optics.ParseError
	if errors.As(err, &bad) && e.plain {
		f.at += 1 + bad.Pos
	}
	return f
}

// acuity is an acuity in any notation; empty when the record card shows what
// the simulation finds.
func acuity(path string, field func(*Case) *string, example, doc string) key {
	return key{
		path: path, doc: doc, example: example, json: rule{"type": "string"},
		read: func(c *Case, e entry) *fault {
			if e.kind != unstable.String {
				return e.wrongType(`an acuity between quotation marks, such as "6/9"`)
			}
			if _, err := patient.ParseAcuity(e.text); err != nil {
				return e.fault("%s: %v", e.path, err)
			}
			*field(c) = strings.TrimSpace(e.text)
			return nil
		},
		write: func(c *Case) (string, bool) { return toText(*field(c)), *field(c) != "" },
	}
}
