package main

import (
	"fmt"
	"math"
	"strings"

	"conoid/cmd/internal/words"
	"conoid/render/voice"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// looks are the words that look at something and change nothing.
func (d *desk) looks() map[string]func(args []string) error {
	show := func(f func()) func([]string) error {
		return func([]string) error { f(); return nil }
	}
	return map[string]func([]string) error{
		"frame":   show(func() { d.say("%s", d.standing()) }),
		"card":    show(d.showCard),
		"history": show(d.history),
		"steps":   show(d.steps),
		"time":    show(func() { d.say("%s of %s's time have gone by.", clock(d.s.State().Seconds), d.who()) }),
		"chart":   show(d.showChart),
		"next":    show(d.next),
		"help":    d.help,
		"quit":    func([]string) error { return errQuit },
	}
}

func clock(seconds float64) string {
	s := int(math.Round(seconds))
	if s < 60 {
		return fmt.Sprintf("%d s", s)
	}
	return fmt.Sprintf("%d min %d s", s/60, s%60)
}

// standing tells what stands in the frame of the tested eye.
func (d *desk) standing() string {
	f := d.s.State().Frames[d.cas.Tested.Index()]
	text := sentence(string(d.cas.Tested)) + " eye: " + voice.English.Frame(f) + "."
	var stand []optics.Lens
	for _, l := range f.Lenses {
		if l != (optics.Lens{}) {
			stand = append(stand, l)
		}
	}
	if len(stand) > 1 {
		text += " Together: " + f.Prescription().String() + "."
	}
	if worn := voice.English.Worn(f, d.s.Setup().Room.Distance); worn != "" {
		text += " " + worn
	}
	return text
}

// showCard shows the record card.
func (d *desk) showCard() {
	c := d.cas
	card := c.CardOf(d.s, c.Tested)
	d.lines(fmt.Sprintf("%-9s %s, %.0f. “%s”", "Patient", d.who(), c.Age, c.Symptoms))
	d.lines(fmt.Sprintf("%-9s %s eye", "To test", c.Tested))
	d.lines(fmt.Sprintf("%-9s %v (in the frame)", "Objective", card.Objective))
	d.lines(fmt.Sprintf("%-9s %s without a lens; %s with the best sphere, %v", "Vision",
		patient.FormatAcuity(card.Unaided), patient.FormatAcuity(card.BestSphere), optics.Rx{Sphere: card.Sphere}))
	noted := d.s.State().Card
	for _, field := range sitting.Fields {
		if noted[field] != "" {
			d.lines(fmt.Sprintf("%-9s %s: %s", "Noted", field, noted[field]))
		}
	}
}

func (d *desk) steps() {
	s := d.s.Steps()
	d.say("Lens changes %d, chart changes %d, questions %d: %d steps.", s.Lens, s.Chart, s.Question, s.Total())
}

// showChart shows what hangs on the wall.
func (d *desk) showChart() {
	st, labels := d.s.State(), d.s.Setup().Room.Labels
	d.say("%s.", sentence(voice.English.Wall(st, labels)))
	for _, row := range st.Rows {
		d.lines(fmt.Sprintf("%-7s%s", patient.FormatAcuity(row.LogMAR), strings.Join(strings.Split(row.Shown, ""), " ")))
	}
	switch st.Chart {
	case sitting.Letters, sitting.Letter, sitting.Duochrome: // words show letters better, and colours are no shapes
		return
	}
	if c, ok := st.Wall(labels); ok && !d.plain {
		d.lines(sketch(c, sketchColumns))
	}
}

func (d *desk) help(args []string) error {
	if len(args) > 0 {
		text, err := words.Usage(voice.English, args[0])
		if err == nil {
			d.lines(text)
		}
		return err
	}
	all, err := words.Usage(voice.English, "")
	if err != nil {
		return err
	}
	d.say("%s", d.moment())
	d.blank()
	d.lines(all)
	d.lines("frame card history steps time chart      look at something")
	d.lines("next     the next step of the method · help ask and the like explain one command")
	d.lines("quit     stop here; the sitting can go on later")
	return nil
}

// moment tells what makes sense now.
func (d *desk) moment() string {
	scene := words.SceneOf(d.s)
	text := "On the wall: " + voice.English.Wall(scene.State, d.s.Setup().Room.Labels) + "."
	if len(scene.Questions) > 0 {
		text += " You can ask: " + words.Asks(scene, voice.English) + "."
	}
	return text + " " + d.standing()
}

// history lists what was done and answered.
func (d *desk) history() {
	labels := d.s.Setup().Room.Labels
	if len(d.s.Events()) == 0 {
		d.say("Nothing was done yet.")
	}
	view := sitting.NoChart
	for _, e := range d.s.Events() {
		if e.Action.Do == sitting.Show {
			view = e.Action.Chart
		}
		line := fmt.Sprintf("%3d  %s", e.N, words.Written(e.Action))
		if e.Answer != nil {
			line += "  “" + voice.English.Answer(*e.Answer, labels, view) + "”"
		}
		d.lines(line)
	}
}
