package cases

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// literal is a value as TOML has it. What is no value of the key is written as a
// text, so that the file can be read, and the mistake told.
func (k key) literal(value string) string {
	switch w := k.want(true); {
	case w.kind == isFraction || w.kind == isWhole || k.drawn() && plainNumber.MatchString(value):
		return numberOf(value)
	case w.kind == isBool && (value == "true" || value == "false"):
		return value
	case k.lines && (strings.Contains(value, "\n") || utf8.RuneCountInString(value) > width-len(k.path)):
		return longText(value)
	}
	return escaped(toText(value))
}

// drawn reports whether the key takes a word or a whole number.
func (k key) drawn() bool { return k.json["anyOf"] != nil }

// plainNumber is a number as TOML has it.
var plainNumber = regexp.MustCompile(`^[-+]?(0|[1-9][0-9]*)(\.[0-9]+)?$`)

// numberOf is a number as a file has it: with a plain minus and a point.
func numberOf(value string) string {
	plain := strings.TrimSpace(strings.NewReplacer("−", "-", "–", "-").Replace(value))
	if strings.Count(plain, ",") == 1 && !strings.Contains(plain, ".") {
		plain = strings.Replace(plain, ",", ".", 1)
	}
	if plainNumber.MatchString(plain) {
		return plain
	}
	if v, err := strconv.ParseFloat(plain, 64); err == nil && !math.IsInf(v, 0) && !math.IsNaN(v) {
		return toNumber(v)
	}
	return escaped(toText(value))
}

// width is how many characters a line of a file has at most, where that can be chosen.
const width = 80

// longText is text of some lines between marks of three. Lines that only wrap a
// paragraph are joined again when it is read.
func longText(value string) string {
	var lines []string
	for i, p := range strings.Split(strings.ReplaceAll(value, "\r\n", "\n"), "\n") {
		if i > 0 && p != "" && lines[len(lines)-1] != "" {
			lines = append(lines, "") // every end of a line that is typed ends a paragraph
		}
		lines = append(lines, wrapped(p)...)
	}
	text := strings.ReplaceAll(strings.Join(lines, "\n"), `\`, `\\`)
	if strings.Contains(text, `"""`) || strings.HasSuffix(text, `"`) {
		text = strings.ReplaceAll(text, `"`, `\"`)
	}
	return escaped(`"""` + "\n" + text + `"""`)
}

// wrapped is a paragraph in lines.
func wrapped(p string) []string {
	out := []string{""}
	for _, word := range strings.Fields(p) {
		last := &out[len(out)-1]
		switch {
		case *last == "":
			*last = word
		case utf8.RuneCountInString(*last)+1+utf8.RuneCountInString(word) > width:
			out = append(out, word)
		default:
			*last += " " + word
		}
	}
	return out
}

// escaped writes characters that a text of TOML may not hold by their numbers.
func escaped(text string) string {
	var b strings.Builder
	for _, r := range text {
		if unicode.IsControl(r) && r != '\n' && r != '\t' {
			fmt.Fprintf(&b, `\u%04X`, r)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}
