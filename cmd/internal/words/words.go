// Package words is the examiner's command line: it reads commands, in a
// clinician's words, as actions of a sitting, and writes actions as commands.
package words

import (
	"fmt"
	"strings"

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
type Unclear struct{ Reason string }

func (e *Unclear) Error() string { return e.Reason }

func unclear(format string, a ...any) error { return &Unclear{fmt.Sprintf(format, a...)} }

// command is a word that begins a command.
type command struct {
	name    string
	parse   func(w []string, s Scene) (sitting.Action, error) // of the words that follow
	usage   string
	example string
}

// commands are all commands, in the order in which they are explained. The
// list is made anew because it refers to itself through the parsers.
func commands() []command {
	return []command{
		{"put", parsePut, "put a lens into the frame", "put +0.50 · put -1.00x35 · put pinhole in front 3 · put +1.00 left"},
		{"take", parseTake, "take a lens out", "take -1.00x35 · take cyl · take back · take front 1"},
		{"change", parseChange, "put one lens in another's place", "change sphere to +0.75 · change cyl to -1.00 · change -0.50 old first"},
		{"add", parseAdd, "make the sphere, or the cylinder, so much stronger or weaker", "add +0.25 · add -0.25 · add -0.25 cyl"},
		{"turn", parseTurn, "turn the cylinder to an axis, or by so much", "turn 35 · turn +5"},
		{"hold", parseHold, "hold a lens up in front of the frame", "hold +0.50 · hold -0.25"},
		{"lower", parseLower, "take down what is held up", "lower"},
		{"cover", parseCover, "cover an eye", "cover left"},
		{"uncover", parseCover, "uncover an eye", "uncover left"},
		{"show", parseShow, "show a chart", "show fan · show letters · show letter 6/12"},
		{"arrow", parseArrow, "point the arrow, and with it the blocks, to a label", "arrow 30 · arrow +5"},
		{"ask", parseAsk, "ask the patient", "ask · ask row 6/9 · ask lens · ask change · ask leading left"},
		{"explain", parseExplain, "explain the task to the patient", "explain"},
		{"note", parseNote, "write on the record card", "note vision 6/12 · note fan axis 30"},
		{"state", parseState, "state the end point; this ends the sitting", "state -1.00/-2.00x30 va 6/6"},
	}
}

// others are further names of commands.
var others = map[string]string{
	"exchange": "change", "swap": "change", "insert": "put", "remove": "take",
	"occlude": "cover", "point": "arrow", "end": "state",
}

// Parse reads one line as an action. The error is an *Unclear; an action that
// can be read may still be refused by the sitting.
func Parse(line string, s Scene) (sitting.Action, error) {
	w := strings.Fields(line)
	if len(w) == 0 {
		return sitting.Action{}, unclear("nothing was written: write what to do, such as show fan")
	}
	name := strings.ToLower(w[0])
	if other, ok := others[name]; ok {
		name = other
	}
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
	return sitting.Action{}, unclear("%q is not a command%s", w[0], nearest(name))
}

func nearest(name string) string {
	for _, c := range commands() {
		if len(name) >= 2 && (strings.HasPrefix(c.name, name) || strings.HasPrefix(name, c.name)) {
			return fmt.Sprintf(": did you mean %s?", c.name)
		}
	}
	return ": write help for all of them"
}

// Usage explains every command in a line, or one command with its examples;
// "" when there is no such command.
func Usage(name string) string {
	name = strings.ToLower(name)
	if other, ok := others[name]; ok {
		name = other
	}
	var b strings.Builder
	for _, c := range commands() {
		switch name {
		case "":
			fmt.Fprintf(&b, "%-9s%s\n", c.name, c.example)
		case c.name:
			fmt.Fprintf(&b, "%s: %s. For example:\n", c.name, c.usage)
			for e := range strings.SplitSeq(c.example, " · ") {
				fmt.Fprintf(&b, "  %s\n", e)
			}
		}
	}
	return b.String()
}
