package main

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"conoid/cases"
	"conoid/cmd/internal/guide"
	"conoid/cmd/internal/words"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// desk is the examiner's side of one sitting at a terminal.
type desk struct {
	out     io.Writer
	cas     *cases.Case
	name    string  // of the case, as the user would write it
	key     string  // file of the key that opens it, "" for none
	seed    *uint64 // nil when the log has none
	guided  bool
	plain   bool
	s       *sitting.Sitting
	journal *journal
	logPath string
	refused int
	advised string          // the advice shown last
	said    map[string]bool // questions that were written out: the next time only the answer is
}

const (
	width  = 80
	margin = 2
)

// say shows a paragraph of what came of a command.
func (d *desk) say(format string, a ...any) {
	text := fmt.Sprintf(format, a...)
	fmt.Fprintln(d.out, indent(wrap(text, width-margin), margin))
}

// lines shows lines as they are.
func (d *desk) lines(text string) {
	fmt.Fprintln(d.out, indent(strings.TrimRight(text, "\n"), margin))
}

func (d *desk) blank() { fmt.Fprintln(d.out) }

// welcome introduces the patient.
func (d *desk) welcome() {
	c := d.cas
	fmt.Fprintln(d.out, wrap(voice.English.Text("caution"), width))
	d.blank()
	known := fmt.Sprintf("level %d", c.Level)
	if d.seed != nil {
		known += fmt.Sprintf(", seed %d", *d.seed)
	}
	fmt.Fprintf(d.out, "%s  (%s)\n", c.Title, known)
	if c.Story != "" {
		fmt.Fprintln(d.out, wrap(c.Story, width))
	}
	d.blank()
	d.showCard()
	if d.logPath != "" {
		d.lines("Log       " + d.logPath)
	}
	d.lines("Help      write help, next, or quit (the sitting can go on later)")
}

// resumed tells where a sitting goes on.
func (d *desk) resumed(rec *sitting.Record) {
	d.blank()
	if rec.Torn {
		d.say("The last line of the log was cut off in the middle of writing and is left out: the step in it, if there was one, has not happened.")
	}
	switch n := len(rec.Events); n {
	case 0:
		d.say("You go on at the very beginning.")
	default:
		d.say("You go on after %d actions; write history to see them. %s", n, d.standing())
	}
}

// later tells how to go on.
func (d *desk) later() {
	d.blank()
	d.say("No end point is stated, so that there is no mark yet.")
	if d.journal != nil {
		how := d.again()
		if d.guided {
			how += " --guide"
		}
		d.lines("Go on later with: " + how + " --log " + quoted(d.logPath))
	}
}

// after tells what can be done with a sitting that is over.
func (d *desk) after() {
	d.blank()
	fmt.Fprintf(d.out, "The same patient again: %s\n", d.command())
	if d.journal != nil {
		fmt.Fprintf(d.out, "The log:                %s\n", d.logPath)
		fmt.Fprintf(d.out, "What to learn from it:  conoid debrief %s\n", quoted(d.logPath))
	}
}

var errQuit = errors.New("quit")

// serve takes line after line until the end point is stated, the examiner
// quits, or there are no more lines.
func (d *desk) serve(r *room) error {
	r.complete = func(line string) []string {
		return words.Complete(line, words.SceneOf(d.s), slices.Collect(maps.Keys(d.looks()))...)
	}
	for n := 1; ; n++ {
		line, err := r.next()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err == nil {
			if skipped(line) {
				continue
			}
			err = d.take(line)
		}
		var no *sitting.Refusal
		var what *words.Unclear
		switch {
		case err == nil:
		case errors.Is(err, errQuit):
			return nil
		case errors.As(err, &no), errors.As(err, &what), errors.Is(err, errLongLine):
			d.refuse(err, n, r.echo)
		default:
			return err
		}
		if _, over := d.s.EndPoint(); over {
			return nil
		}
	}
}

// refuse says why a line was not accepted.
func (d *desk) refuse(err error, line int, script bool) {
	d.refused++
	if script {
		d.say("Refused, line %d: %s.", line, voice.English.Error(err))
		return
	}
	d.say("%s", voice.English.Sentence(voice.English.Error(err)))
}

func sentence(s string) string {
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// take does what a line says.
func (d *desk) take(line string) error {
	w := strings.Fields(line)
	if look, ok := d.looks()[words.Name(w[0])]; ok {
		return look(w[1:])
	}
	a, err := words.Parse(line, words.SceneOf(d.s))
	if err != nil {
		return err
	}
	e, err := d.s.Do(a)
	if err != nil {
		return err
	}
	if err := d.journal.append(e); err != nil {
		return err
	}
	d.show(e)
	if e.Action.Do != sitting.End && d.guided {
		d.advise()
	}
	return nil
}

// show tells what an event did, or what was asked and answered.
func (d *desk) show(e sitting.Event) {
	st, room := d.s.State(), d.s.Setup().Room
	if e.Answer == nil {
		d.say("%s", voice.English.Done(e, st, room))
		return
	}
	if q := voice.English.Question(e.Action, st.Chart); !d.said[q] {
		d.say("You: “%s”", q)
		d.said[q] = true
	}
	d.say("%s: “%s”", d.who(), voice.English.Answer(*e.Answer, room.Labels, st.Chart))
	for _, row := range voice.English.Rows(*e.Answer) {
		d.lines(row)
	}
}

func (d *desk) who() string {
	if d.cas.Name == "" {
		return "Patient"
	}
	return d.cas.Name
}

// advise tells the next step of the method. What was told last is not told
// again: then only the commands are left.
func (d *desk) advise() {
	if !d.guided {
		return
	}
	a := d.advice()
	text := headline(a)
	if text != d.advised {
		d.blank()
		fmt.Fprintln(d.out, text)
	}
	d.advised = text
	fmt.Fprintln(d.out, commands(a))
}

// advice is what the guide says now.
func (d *desk) advice() guide.Advice {
	setup := d.s.Setup()
	return guide.Next(guide.ViewOf(d.s, setup.Tested, setup.Eyes[setup.Tested.Index()].Objective, setup.Room))
}

func headline(a guide.Advice) string {
	v := voice.English
	step := v.Text("advice.step", "n", fact.Count(a.Stage), "all", fact.Count(guide.Stages), "title", a.Title)
	return v.Sentence(step) + "\n" + wrap(v.Say(a.Text), width)
}

// commands are the lines to write for an advice.
func commands(a guide.Advice) string {
	var lines []string
	for _, do := range a.Do {
		lines = append(lines, words.Written(do))
	}
	return indent(strings.Join(lines, "\n"), 2*margin)
}

// next tells the next step whether or not it was told last.
func (d *desk) next() {
	a := d.advice()
	fmt.Fprintln(d.out, headline(a)+"\n"+commands(a))
}
