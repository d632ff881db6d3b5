package main

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"conoid/cmd/internal/words"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// looks are the words that look at something and change nothing.
func (d *desk) looks() map[string]func(args []string) error {
	show := func(f func()) func([]string) error {
		return func([]string) error { f(); return nil }
	}
	return map[string]func([]string) error{
		"frame":   show(func() { d.say(d.standing()) }),
		"card":    show(func() { d.table(d.card()) }),
		"history": show(d.history),
		"steps":   show(d.steps),
		"time":    show(d.time),
		"chart":   show(d.showChart),
		"next":    show(d.next),
		"help":    d.help,
		"quit":    func([]string) error { return errQuit },
	}
}

// item is a line of a table: the ID of its name, and what it says.
type item struct{ name, text string }

// rows are entries with their names in a column.
func (d *desk) rows(entries []item) string {
	widest := 0
	for _, e := range entries {
		widest = max(widest, utf8.RuneCountInString(d.voice.Text(e.name)))
	}
	var b strings.Builder
	for _, e := range entries {
		name := d.voice.Text(e.name)
		fmt.Fprintf(&b, "%s%s %s\n", name, strings.Repeat(" ", widest-utf8.RuneCountInString(name)), e.text)
	}
	return b.String()
}

func (d *desk) table(entries []item) { d.lines(d.rows(entries)) }

// eye is the tested eye by its name.
func (d *desk) eye() fact.Fact { return fact.New("eye." + string(d.visit.Brief().Tested)) }

// standing tells what stands in the frame of the tested eye.
func (d *desk) standing() string {
	b := d.visit.Brief()
	f := d.visit.State().Frames[b.Tested.Index()]
	text := d.voice.Capital(d.voice.Text("told.done.frame", "eye", d.eye(), "lenses", d.voice.Frame(f)))
	stand := 0
	for _, l := range f.Lenses {
		if l != (optics.Lens{}) {
			stand++
		}
	}
	if stand > 1 {
		text += " " + d.voice.Text("terminal.together", "rx", f.Prescription())
	}
	if worn := d.voice.Worn(f, b.Room.Distance); worn != "" {
		text += " " + worn
	}
	return text
}

// card is the record card.
func (d *desk) card() []item {
	b, card, v := d.visit.Brief(), d.visit.Card(), d.voice
	out := []item{
		{"terminal.patient", v.Text("terminal.patient.is", "who", d.who(), "age", fact.Number(b.Age), "symptoms", d.texts().Symptoms)},
		{"terminal.to-test", v.Value(d.eye())},
		{"terminal.objective", v.Text("terminal.objective.is", "rx", card.Objective)},
		{"terminal.vision", v.Text("terminal.vision.is", "unaided", fact.Row(card.Unaided),
			"acuity", fact.Row(card.BestSphere), "sphere", optics.Rx{Sphere: card.Sphere})},
	}
	noted := d.visit.State().Card
	for _, field := range sitting.Fields() {
		if noted[field] != "" {
			out = append(out, item{"terminal.noted", v.Text("terminal.noted.is", "field", field, "text", noted[field])})
		}
	}
	return out
}

func (d *desk) steps() {
	s := d.visit.Steps()
	d.tell("terminal.steps", "lens", fact.Count(s.Lens), "chart", fact.Count(s.Chart), "questions", fact.Count(s.Question), "all", fact.Count(s.Total()))
}

func (d *desk) time() {
	d.tell("terminal.time", "time", fact.Seconds(d.visit.State().Seconds), "who", d.who())
}

// showChart shows what hangs on the wall.
func (d *desk) showChart() {
	st, labels := d.visit.State(), d.visit.Brief().Room.Labels
	d.say(d.voice.Sentence(d.voice.Wall(st, labels)))
	for _, row := range st.Rows {
		d.lines(fmt.Sprintf("%-7s%s", d.voice.Value(fact.Row(row.LogMAR)), strings.Join(strings.Split(row.Shown, ""), " ")))
	}
	switch chart.Named(st.Chart).Kind {
	case chart.LetterChart, chart.ColourChart: // words show letters better, and colours are no shapes
		return
	}
	if c, ok := st.Wall(labels); ok && !d.plain {
		d.lines(sketch(c, sketchColumns))
	}
}

func (d *desk) help(args []string) error {
	if len(args) > 0 {
		text, err := words.Usage(d.voice, args[0])
		if err == nil {
			d.lines(text)
		}
		return err
	}
	all, err := words.Usage(d.voice, "")
	if err != nil {
		return err
	}
	d.say(d.moment())
	d.blank()
	d.lines(all)
	d.lines(d.voice.Text("terminal.looks"))
	return nil
}

// moment tells what makes sense now.
func (d *desk) moment() string {
	scene := d.scene()
	text := d.voice.Text("told.done.show", "wall", d.voice.Wall(scene.State, d.visit.Brief().Room.Labels))
	if len(scene.Questions) > 0 {
		text += " " + d.voice.Text("terminal.can-ask", "questions", words.Asks(scene, d.voice))
	}
	return text + " " + d.standing()
}

// history lists what was done and answered.
func (d *desk) history() {
	labels := d.visit.Brief().Room.Labels
	if len(d.visit.Talk()) == 0 {
		d.tell("terminal.nothing-done")
	}
	for _, t := range d.visit.Talk() {
		line := fmt.Sprintf("%3d  %s", t.Event.N, words.Written(t.Event.Action))
		if t.Event.Answer != nil {
			line += "  " + d.voice.Text("terminal.said", "answer", d.voice.Answer(*t.Event.Answer, labels, t.After.Chart))
		}
		d.lines(line)
	}
}
