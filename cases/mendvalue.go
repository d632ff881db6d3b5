package cases

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"conoid/sim/fact"
)

// mending is a key with a value, one of which is not TOML.
type mending struct {
	*document
	key, path, name string // as it stands there; in the file; as TOML has it
	want            want
	known           bool
	at, start       int       // bytes of the key and of the value
	wrapped         bool      // the value is a text that goes on in other lines
	sign            fact.Fact // what is wrong between the two, if anything
}

// value tells what is wrong with the line, and takes the value that was
// probably meant.
func (m mending) value(raw string) {
	if isTOML([]byte(m.name + " = " + raw)) { // the key or the sign alone is wrong
		m.take(m.sign, m.at, raw)
		return
	}
	what, meant := m.mended(raw)
	at := m.start
	if m.sign.ID != "" {
		what, at = m.sign, m.at
	}
	m.take(what, at, meant)
}

// take tells a fault, with the whole line as it should be where that is known,
// and takes the value. What is wrong with a value by itself is told later, and
// so is a key that nothing is near to: that is enough of its line.
func (m mending) take(what fact.Fact, at int, meant string) {
	e, ok := m.entry(meant)
	if told := what.ID != "" && (m.known || !ok || m.wants == nil); told {
		if ok && m.want.exact && m.want.fits(e) && !strings.Contains(meant, "\n") {
			what = fixed(what, m.name+" = "+meant)
		}
		m.fault(at, what)
	}
	if !ok {
		m.begun[m.path] = true
		return
	}
	if m.once(e.path, m.at) {
		m.entries = append(m.entries, e)
	}
}

// entry is the key with another value, at its place in the file.
func (m mending) entry(value string) (entry, bool) {
	line := []byte(m.name + " = " + value)
	if value == "" || !isTOML(line) {
		return entry{}, false
	}
	sub := &document{text: line, seen: map[string]int{}, section: m.section}
	sub.read(statement{end: len(line)})
	if len(sub.entries) != 1 {
		return entry{}, false
	}
	e := sub.entries[0]
	e.key, e.at, e.plain = m.at, m.start, false
	return e, true
}

// mended is what is wrong with a value, and the one that was meant; empty if
// that is not plain.
func (m mending) mended(raw string) (what fact.Fact, meant string) {
	bareValue := strings.TrimRight(raw, ",; \t")
	switch {
	case bareValue == "":
		return fact.New("case.no-value", "key", m.key), ""
	case bareValue != raw && isTOML([]byte("x = "+bareValue)):
		return fact.New("case.behind", "key", m.key, "sign", raw[len(bareValue):]), bareValue
	}
	first, _ := utf8.DecodeRuneInString(bareValue)
	last, _ := utf8.DecodeLastRuneInString(bareValue)
	switch {
	case strings.ContainsRune(oddQuotes, first) || strings.ContainsRune(`"'`, first) && strings.ContainsRune(oddQuotes, last):
		return fact.New("case.quotes", "key", m.key), toText(strings.Trim(bareValue, oddQuotes+`"' `))
	case first == '"' || first == '\'':
		return m.quoted(bareValue)
	case first == '[' || first == '{':
		return fact.New("case.list", "key", m.key), ""
	case m.want.kind == isFraction || m.want.kind == isWhole:
		return m.number(bareValue)
	case m.want.kind == isBool:
		what = fact.New("case.type", "key", m.key, "is", bareValue, "write", fact.New("case.write.yes-no"))
		return what, yesOrNo(bareValue)
	}
	return fact.New("case.unquoted", "key", m.key), toText(strings.Trim(bareValue, `"`))
}

// oddQuotes are quotation marks that are none in TOML; the last one is a sign
// that could not be read.
const oddQuotes = "“”„‟«»‹›‘’‚‛`´″′\uFFFD"

// quoted mends a value that begins with a quotation mark.
func (m mending) quoted(raw string) (what fact.Fact, meant string) {
	mark := raw[:1]
	three := strings.HasPrefix(raw, strings.Repeat(mark, 3))
	end, kind := token([]byte(raw), 0)
	switch {
	case kind == open && three:
		return fact.New("case.open-lines", "key", m.key, "mark", strings.Repeat(mark, 3)), ""
	case m.wrapped:
		return fact.New("case.wrapped", "key", m.key, "mark", `"""`), toText(strings.Join(strings.Fields(strings.Trim(raw, mark)), " "))
	case kind == open:
		return fact.New("case.open", "key", m.key), toText(strings.Trim(raw, `"' `))
	case strings.Contains(raw[:end], `\`):
		return fact.New("case.backslash", "key", m.key), literal(raw[len(mark) : end-len(mark)])
	case strings.TrimSpace(raw[end:]) == "":
		return fact.New("case.control", "key", m.key), toText(strings.Map(printable, strings.Trim(raw, mark)))
	case strings.HasSuffix(raw, mark):
		return fact.New("case.inner-quotes", "key", m.key), literal(raw[1 : len(raw)-1])
	}
	if all := toText(strings.ReplaceAll(raw, mark, "")); m.fits(all) {
		return fact.New("case.quotes-part", "key", m.key), all
	}
	return fact.New("case.behind", "key", m.key, "sign", strings.TrimSpace(raw[end:])), raw[:end]
}

// fits reports whether a key takes more of a value than some text.
func (m mending) fits(value string) bool {
	e, ok := m.entry(value)
	return ok && m.known && m.want.kind == isText && m.want.fits(e) && !m.want.fits(entry{kind: isText, text: "banana"})
}

// literal is a text in which every sign stands for itself.
func literal(text string) string {
	if strings.Contains(text, "'") {
		return toText(text)
	}
	return "'" + text + "'"
}

func printable(r rune) rune {
	if unicode.IsControl(r) {
		return -1
	}
	return r
}

// number mends the value of a key that takes a number.
func (m mending) number(raw string) (what fact.Fact, meant string) {
	n, unit, ok := writtenNumber(raw)
	switch {
	case !ok:
		what = fact.New("case.type", "key", m.key, "is", raw, "write", fact.New("case.write.number-only"))
		return what, ""
	case unit != "":
		if m.want.unit != pure && !m.want.unit.isWritten(unit) {
			return fact.New("case.with-other-unit", "key", m.key, "unit", m.want.unit), "" // it would be another number
		}
		return fact.New("case.with-unit", "key", m.key), n
	case strings.Contains(raw, ","):
		return fact.New("case.comma", "key", m.key), n
	}
	return fact.New("case.number-form", "key", m.key, "value", raw), n
}

var aNumber = regexp.MustCompile(`^([+-]?)\s*([0-9]*)(?:([.,])([0-9]*))?\s*([\pL%°µ].*)?$`)

// writtenNumber takes a number as people write it apart: the number as a file
// has it, and the unit behind it.
func writtenNumber(s string) (number, unit string, ok bool) {
	m := aNumber.FindStringSubmatch(strings.TrimSpace(strings.NewReplacer("−", "-", "–", "-").Replace(s)))
	if m == nil || m[2]+m[4] == "" {
		return "", "", false
	}
	number = strings.TrimLeft(m[2], "0")
	if number == "" {
		number = "0"
	}
	if m[3] != "" {
		number += "." + m[4]
		if m[4] == "" {
			number += "0"
		}
	}
	return strings.Replace(m[1], "+", "", 1) + number, strings.TrimSpace(m[5]), true
}

// unitNames are how people write the units of numbers.
var unitNames = map[unit][]string{
	years:       {"y", "yr", "yrs", "year", "years", "years old", "j", "jahr", "jahre", "j."},
	seconds:     {"s", "sec", "second", "seconds", "sek", "sekunden"},
	metres:      {"m", "metre", "metres", "meter", "meters"},
	millimetres: {"mm", "millimetre", "millimetres", "millimeter", "millimeters"},
	micrometres: {"µm", "μm", "um", "micrometre", "micrometres", "mikrometer"},
	dioptres:    {"d", "dpt", "dptr", "dioptre", "dioptres", "diopter", "diopters", "dioptrien", "ds"},
	points:      {"p", "pt", "pts", "point", "points", "punkt", "punkte"},
	percent:     {"%", "percent", "per cent", "prozent"},
	timesPar:    {"x", "times", "mal"},
}

// isWritten reports whether that is how people write the unit, if at all.
func (u unit) isWritten(as string) bool {
	return as == "" || slices.Contains(unitNames[u], strings.ToLower(as))
}

// yesOrNo is true or false for the words that people have for it; empty for
// others.
func yesOrNo(text string) string {
	for value, words := range map[bool][]string{
		true:  {"true", "yes", "y", "on", "1", "ja", "j", "an", "wahr"},
		false: {"false", "no", "n", "off", "0", "nein", "aus", "falsch"},
	} {
		if slices.Contains(words, strings.ToLower(strings.Trim(text, `"' `))) {
			return strconv.FormatBool(value)
		}
	}
	return ""
}
