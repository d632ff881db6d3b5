package voice

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"conoid/assets"
	"conoid/sim/fact"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

var (
	powers    = regexp.MustCompile(`\d\.\d`)
	fractions = regexp.MustCompile(`^6/[\d.]+$`)
)

// command is a command in the words of the language, as it can be typed: the
// first of the further names of the command and of the words that follow it, and
// numbers as the language writes them, with a hyphen for the minus. In English
// commands stay as they are. The preposition before a cell is left out: it would
// need the cell in another form. Where dials have hours, a label at its end is one.
func (v style) command(line string) string {
	if rest, label := v.cutLabel(line); label != "" {
		return v.command(rest) + " " + label
	}
	if v.Language == assets.English {
		return line
	}
	verb, rest, _ := strings.Cut(line, " ")
	first := v.further("command.names.", verb)
	if first == verb { // no command, but a word that may follow one
		first = v.further("command.words.", verb)
	}
	out := []string{first}
	if verb == string(sitting.Note) {
		for _, f := range sitting.Fields() {
			if text, is := strings.CutPrefix(rest, string(f)); is {
				out, rest = append(out, v.Value(f)), text
				break
			}
		}
	}
	for _, word := range strings.Fields(rest) {
		if word != "in" && word != "from" {
			out = append(out, v.typed(word))
		}
	}
	return strings.Join(out, " ")
}

// cutLabel takes the label of a line from the end of a command, where it is told as an hour.
func (v style) cutLabel(line string) (rest, label string) {
	i := strings.LastIndexByte(line, ' ')
	if !v.hours || i < 0 {
		return line, ""
	}
	rest = line[:i]
	n, err := strconv.ParseUint(line[i+1:], 10, 8)
	if err != nil || rest != "arrow" && !strings.HasSuffix(rest, " leading") {
		return line, ""
	}
	return rest, v.Typed(fact.Label(n))
}

// typed is a word that follows a command.
func (v style) typed(word string) string {
	word = strings.Replace(word, "plano", v.Text("rx.plano"), 1)
	switch {
	case fractions.MatchString(word):
		if a, err := patient.ParseAcuity(word); err == nil {
			return v.Typed(fact.Row(math.Round(a.LogMAR*10) / 10))
		}
	case powers.MatchString(word):
		return strings.ReplaceAll(word, ".", v.Text("style.decimal"))
	}
	return v.further("command.words.", word)
}

// further is the first of the further words that the language has for one.
func (v style) further(group, word string) string {
	if words := v.Ways(group + word); len(words) > 0 {
		return words[0]
	}
	return word
}

// Typed is a value as people type it: with a hyphen for the minus.
func (v Voice) Typed(x any) string { return strings.ReplaceAll(v.Value(x), "−", "-") }
