package main

import (
	"fmt"
	"strconv"
	"strings"

	"conoid/cases"
	"conoid/cmd/internal/blind"
	"conoid/cmd/internal/chair"
	"conoid/cmd/internal/guide"
	"conoid/cmd/internal/words"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// looks is what an examiner can look at in a sitting, without changing anything.
type looks struct {
	teller
	plain bool
	visit *chair.Visit
}

// all are the looks by the words for them.
func (l looks) all() map[string]func(args []string) error {
	show := func(f func()) func([]string) error {
		return func([]string) error { f(); return nil }
	}
	return map[string]func([]string) error{
		"frame":   show(func() { l.say(l.standing()) }),
		"card":    show(func() { l.table(l.card()) }),
		"history": show(l.history),
		"steps":   show(l.steps),
		"time":    show(l.time),
		"chart":   show(l.showChart),
		"next":    show(l.next),
		"help":    l.help,
		"quit":    func([]string) error { return errQuit },
	}
}

// eye is the tested eye by its name.
func (l looks) eye() fact.Fact { return fact.New("eye." + string(l.visit.Brief().Tested)) }

// standing tells what stands in the frame of the tested eye.
func (l looks) standing() string {
	b := l.visit.Brief()
	f := l.visit.State().Frames[b.Tested.Index()]
	text := l.voice.Capital(l.voice.Text("told.done.frame", "eye", l.eye(), "lenses", l.voice.Frame(f)))
	stand := 0
	for _, lens := range f.Lenses {
		if lens != (optics.Lens{}) {
			stand++
		}
	}
	if stand > 1 {
		text += " " + l.voice.Text("terminal.together", "rx", f.Prescription())
	}
	if worn := l.voice.Worn(f, b.Room.Distance); worn != "" {
		text += " " + worn
	}
	return text
}

// card is the record card.
func (l looks) card() []item {
	var out []item
	for _, i := range blind.Card(l.voice, l.visit) {
		out = append(out, item{i.Name, i.Text})
	}
	noted := l.visit.State().Card
	for _, field := range sitting.Fields() {
		if noted[field] != "" {
			out = append(out, item{"terminal.noted", l.voice.Text("terminal.noted.is", "field", field, "text", noted[field])})
		}
	}
	return out
}

func (l looks) steps() {
	s := l.visit.Steps()
	l.tell("terminal.steps", "lens", fact.Count(s.Lens), "chart", fact.Count(s.Chart), "questions", fact.Count(s.Question), "all", fact.Count(s.Total()))
}

func (l looks) time() {
	l.tell("terminal.time", "time", fact.Seconds(l.visit.State().Seconds), "who", l.who())
}

// showChart shows what hangs on the wall.
func (l looks) showChart() {
	st, labels := l.visit.State(), l.visit.Brief().Room.Labels
	l.say(l.voice.Sentence(l.voice.Wall(st, labels)))
	for _, row := range st.Rows {
		l.lines(fmt.Sprintf("%-7s%s", l.voice.Value(fact.Row(row.LogMAR)), strings.Join(strings.Split(row.Shown, ""), " ")))
	}
	switch chart.Named(st.Chart).Kind {
	case chart.LetterChart, chart.ColourChart: // words show letters better, and colours are no shapes
		return
	}
	if c, ok := st.Wall(labels); ok && !l.plain {
		l.lines(sketch(c, sketchColumns))
	}
}

func (l looks) help(args []string) error {
	if len(args) > 0 {
		text, err := words.Usage(l.voice, args[0])
		if err == nil {
			l.lines(text)
		}
		return err
	}
	all, err := words.Usage(l.voice, "")
	if err != nil {
		return err
	}
	l.say(l.moment())
	l.blank()
	l.lines(all)
	l.lines(l.voice.Text("terminal.looks"))
	return nil
}

// moment tells what makes sense now.
func (l looks) moment() string {
	scene := l.scene()
	text := l.voice.Text("told.done.show", "wall", l.voice.Wall(scene.State, l.visit.Brief().Room.Labels))
	if len(scene.Questions) > 0 {
		text += " " + l.voice.Text("terminal.can-ask", "questions", words.Asks(scene, l.voice))
	}
	return text + " " + l.standing()
}

// history lists what was done and answered.
func (l looks) history() {
	labels := l.visit.Brief().Room.Labels
	if len(l.visit.Talk()) == 0 {
		l.tell("terminal.nothing-done")
	}
	steps, last := sitting.StepsAfter(l.visit.Events()), 0
	for i, t := range l.visit.Talk() {
		number := ""
		if steps[i] > last {
			number, last = strconv.Itoa(steps[i]), steps[i]
		}
		line := fmt.Sprintf("%3s  %s", number, words.Written(l.voice, t.Event.Action))
		if t.Event.Answer != nil {
			line += "  " + l.voice.Text("terminal.said", "answer", l.voice.Answer(*t.Event.Answer, labels, t.After.Chart))
		}
		l.lines(line)
	}
}

// texts are what the case says in the language of the examiner.
func (l looks) texts() cases.Texts { return l.visit.Brief().In(l.voice.Language) }

// scene is what the examiner sees now.
func (l looks) scene() words.Scene {
	return words.Scene{State: l.visit.State(), Tested: l.visit.Brief().Tested, Questions: l.visit.Questions()}
}

func (l looks) who() string {
	if name := l.visit.Brief().Name; name != "" {
		return name
	}
	return l.voice.Text("terminal.patient")
}

// stage is where in the method an advice belongs.
func (l looks) stage(a guide.Advice) string {
	return l.voice.Sentence(l.voice.Text("advice.step", "n", fact.Count(a.Stage), "all", fact.Count(guide.Stages), "title", a.Title))
}

func (l looks) headline(a guide.Advice) string {
	return l.stage(a) + "\n" + wrap(l.voice.Say(a.Text), width)
}

// commands are the lines to write for an advice.
func (l looks) commands(a guide.Advice) string {
	var lines []string
	for _, do := range a.Do {
		lines = append(lines, words.Written(l.voice, do))
	}
	return indent(strings.Join(lines, "\n"), 2*margin)
}

// next tells the next step whether or not it was told last. It is a hint to who
// is not guided.
func (l looks) next() {
	next := l.visit.Hint
	if l.visit.Notes.Help == chair.Led {
		next = l.visit.Next
	}
	a := next()
	fmt.Fprintln(l.out, l.headline(a)+"\n"+l.commands(a))
}
