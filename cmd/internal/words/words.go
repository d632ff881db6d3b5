// Package words is the examiner's command line: it reads commands, in a
// clinician's words, as actions of a sitting, and writes actions as commands.
package words

import (
	"fmt"
	"strings"

	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// Scene is what the examiner sees when a command is given.
type Scene struct {
	sitting.State
	Tested    sitting.Side
	Questions []patient.Question // that make sense now; the natural one of the chart in view is the first
}

// SceneOf is the scene of a sitting under way.
func SceneOf(s *sitting.Sitting) Scene {
	return Scene{s.State(), s.Setup().Tested, s.Questions()}
}

// Unclear says why a command cannot be read as an action, and what to write.
type Unclear struct{ Reason *fact.Error }

func (e *Unclear) Error() string { return e.Reason.Error() }

// Tell is the reason, to be put into words.
func (e *Unclear) Tell() fact.Fact { return e.Reason.Fact }

// Unwrap is what caused it, or nil.
func (e *Unclear) Unwrap() error { return e.Reason.Cause }

func unclear(e *fact.Error) error { return &Unclear{e} }

// command is a word that begins a command.
type command struct {
	name     string
	parse    func(w []string, s Scene) (sitting.Action, error) // of the words that follow
	examples []string
}

// commands are all commands, in the order in which they are explained. The
// list is made anew because it refers to itself through the parsers.
func commands() []command {
	return []command{
		{"put", parsePut, []string{"put +0.50", "put -1.00x35", "put pinhole in front 3", "put +1.00 left"}},
		{"take", parseTake, []string{"take -1.00x35", "take cyl", "take back", "take front 1"}},
		{"change", parseChange, []string{"change sphere to +0.75", "change cyl to -1.00", "change -0.50 old first"}},
		{"add", parseAdd, []string{"add +0.25", "add -0.25", "add -0.25 cyl"}},
		{"turn", parseTurn, []string{"turn 35", "turn +5"}},
		{"hold", parseHold, []string{"hold +0.50", "hold -0.25", "hold -0.25 x 30"}},
		{"lower", parseLower, []string{"lower"}},
		{"cover", parseCover, []string{"cover left"}},
		{"uncover", parseCover, []string{"uncover left"}},
		{"show", parseShow, []string{"show fan", "show letters", "show letter 6/12"}},
		{"arrow", parseArrow, []string{"arrow 30", "arrow +5"}},
		{"ask", parseAsk, []string{"ask", "ask row 6/9", "ask lens", "ask change", "ask leading left"}},
		{"explain", parseExplain, []string{"explain"}},
		{"note", parseNote, []string{"note vision 6/12", "note fan axis 30"}},
		{"state", parseState, []string{"state -1.00/-2.00x30 va 6/6"}},
	}
}

// Parse reads one line as an action. The error is an *Unclear; an action that
// can be read may still be refused by the sitting.
func Parse(line string, s Scene) (sitting.Action, error) {
	w := strings.Fields(line)
	if len(w) == 0 {
		return sitting.Action{}, unclear(fact.Refuse("command.nothing", "example", fact.Command("show fan")))
	}
	name := Name(w[0])
	for _, c := range commands() {
		if c.name != name {
			continue
		}
		a, err := c.parse(w[1:], s)
		if a.Do == "" && err == nil {
			a.Do = sitting.Verb(name)
		}
		return a, err
	}
	return sitting.Action{}, unclear(unknown(w[0]))
}

// unknown is what is said of a word that begins no command.
func unknown(word string) *fact.Error {
	name := strings.ToLower(word)
	for _, c := range commands() {
		if len(name) >= 2 && (strings.HasPrefix(c.name, name) || strings.HasPrefix(name, c.name)) {
			return fact.Refuse("command.unknown-near", "word", word, "name", fact.Command(c.name))
		}
	}
	return fact.Refuse("command.unknown", "word", word)
}

// Usage gives examples of every command in a line each, or explains one command
// in the words of a language. The error is an *Unclear when there is no such
// command.
func Usage(v voice.Voice, name string) (string, error) {
	var b strings.Builder
	for _, c := range commands() {
		switch Name(name) {
		case "":
			var examples []string
			for _, e := range c.examples {
				examples = append(examples, v.Value(fact.Command(e)))
			}
			fmt.Fprintf(&b, "%-9s%s\n", v.Value(fact.Command(c.name)), strings.Join(examples, " · "))
		case c.name:
			b.WriteString(c.usage(v))
		}
	}
	if b.Len() == 0 {
		return "", unclear(fact.Refuse("command.no-help", "word", name))
	}
	return b.String(), nil
}

// usage explains a command, with examples and its further names.
func (c command) usage(v voice.Voice) string {
	lines := []string{v.Text("command.usage", "name", fact.Command(c.name), "help", v.Text("command.help."+c.name))}
	for _, e := range c.examples {
		lines = append(lines, "  "+v.Value(fact.Command(e)))
	}
	if also := v.Ways("command.names." + c.name); len(also) > 0 {
		lines = append(lines, v.Text("command.also", "names", also))
	}
	return strings.Join(lines, "\n") + "\n"
}
