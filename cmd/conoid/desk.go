package main

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"time"

	"conoid/cases"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/words"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/sitting"
)

// desk is the examiner's side of one sitting at a terminal.
type desk struct {
	looks
	insight chair.Insight
	log     *logFile // nil keeps none
	refused int
	advised string          // the advice shown last
	said    map[string]bool // questions that were written out: the next time only the answer is

	// What is needed to sit down again, and for the marks.
	cas  *cases.Case
	name string  // of the case, as the user would write it
	key  string  // file of the key that opens it, "" for none
	seed *uint64 // nil when the log has none
	task *task   // nil for a sitting of one's own
}

func newDesk(v voice.Voice, r *room, c *cases.Case, l *chair.Local, log *logFile) *desk {
	v = v.By(l.Brief().Room.Labels)
	l.Speak(func(t chair.Told) []string {
		return []string{v.Answer(*t.Event.Answer, l.Brief().Room.Labels, t.After.Chart)}
	})
	return &desk{
		looks:   looks{teller{r, v}, r.plain, chair.Attend(l, chair.Notes{})},
		insight: l, log: log, cas: c, said: map[string]bool{},
	}
}

// welcome introduces the patient.
func (d *desk) welcome() {
	b, texts := d.visit.Brief(), d.texts()
	fmt.Fprintln(d.out, wrap(d.voice.Text("caution"), width))
	d.blank()
	if d.seed == nil {
		fmt.Fprintln(d.out, d.voice.Text("terminal.case-without-seed", "title", texts.Title, "level", fact.Count(b.Level)))
	} else {
		fmt.Fprintln(d.out, d.voice.Text("terminal.case", "title", texts.Title, "level", fact.Count(b.Level), "seed", fmt.Sprint(*d.seed)))
	}
	if texts.Story != "" {
		fmt.Fprintln(d.out, wrap(texts.Story, width))
	}
	d.blank()
	card := d.card()
	if d.log != nil {
		card = append(card, item{"terminal.log", d.log.name()})
	}
	d.table(append(card, item{"terminal.help", d.voice.Text("terminal.help.how")}))
}

// resumed tells where a sitting goes on.
func (d *desk) resumed(rec *sitting.Record) {
	d.blank()
	if rec.Torn {
		d.tell("terminal.torn")
	}
	if n := len(rec.Events); n > 0 {
		d.say(d.voice.Text("terminal.goes-on", "n", fact.Count(n)) + " " + d.standing())
		return
	}
	d.tell("terminal.goes-on-at-the-beginning")
}

// later tells how to go on.
func (d *desk) later() {
	d.blank()
	d.tell("terminal.no-end-point")
	if d.log != nil {
		how := d.again()
		if d.visit.Notes.Help == chair.Led && (d.task == nil || !d.task.fixed) {
			how += " --guide"
		}
		d.lines(d.voice.Text("terminal.go-on-later", "command", how+" --log "+quoted(d.log.name())))
	}
}

// after tells what can be done with a sitting that is over.
func (d *desk) after() {
	d.blank()
	what := []item{{"terminal.same-patient", d.command()}}
	if d.log != nil {
		what = append(what, item{"terminal.the-log", d.log.name()}, item{"terminal.to-learn", "conoid debrief " + quoted(d.log.name())})
	}
	fmt.Fprint(d.out, d.rows(what))
}

var errQuit = errors.New("quit")

// serve takes line after line until the end point is stated, the examiner
// quits, or there are no more lines.
func (d *desk) serve(r *room) error {
	r.complete = func(line string) []string {
		return words.Complete(line, d.scene(), slices.Collect(maps.Keys(d.looks.all()))...)
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
		switch {
		case err == nil:
		case errors.Is(err, errQuit):
			return nil
		case refusal(err), r.interactive():
			d.refuse(err, n, r.echo)
		default:
			return err
		}
		if d.visit.Over() {
			return nil
		}
	}
}

// refusal reports whether an error says why a line was not accepted. A script
// goes on after one; what could not be kept ends it.
func refusal(err error) bool {
	var no *sitting.Refusal
	var what *words.Unclear
	return errors.As(err, &no) || errors.As(err, &what) || errors.Is(err, errLongLine)
}

// refuse says why a line was not accepted.
func (d *desk) refuse(err error, line int, script bool) {
	d.refused++
	why := d.voice.Error(err)
	if script {
		why = d.voice.Text("terminal.refused", "line", fact.Count(line), "why", why)
	}
	d.say(d.voice.Sentence(why))
}

// take does what a line says.
func (d *desk) take(line string) error {
	w := strings.Fields(line)
	if look, ok := d.looks.all()[words.Name(w[0])]; ok {
		return look(w[1:])
	}
	a, err := words.Parse(line, d.scene())
	if err != nil {
		return err
	}
	if _, err := d.visit.Do(a, time.Now()).Wait(); err != nil {
		d.visit.Hear()
		return err
	}
	news, err := d.visit.Hear()
	for _, t := range news {
		d.show(t)
	}
	if err == nil && !d.visit.Over() {
		d.advise()
	}
	return err
}

// show tells what an event did, or what was asked and answered.
func (d *desk) show(t chair.Told) {
	v, room := d.voice, d.visit.Brief().Room
	if t.Event.Answer == nil {
		d.say(v.Done(t.Event, t.After, room))
		return
	}
	if q := v.Examiner().Question(t.Event.Action, t.After.Chart); !d.said[q] {
		d.tell("terminal.you", "question", q)
		d.said[q] = true
	}
	d.tell("terminal.answer", "who", d.who(), "answer", v.Answer(*t.Event.Answer, room.Labels, t.After.Chart))
	for _, row := range v.Rows(*t.Event.Answer) {
		d.lines(row)
	}
}

// advise tells the next step of the method to who is guided, and to who has cues
// where in the method they are. What was told last is not told again: then only
// the commands are left.
func (d *desk) advise() {
	help := d.visit.Notes.Help
	if help == chair.Alone {
		return
	}
	a := d.visit.Next()
	text := d.stage(a)
	if help == chair.Led {
		text = d.headline(a)
	}
	if text != d.advised {
		d.blank()
		fmt.Fprintln(d.out, text)
	}
	d.advised = text
	if help == chair.Led {
		fmt.Fprintln(d.out, d.commands(a))
	}
}
