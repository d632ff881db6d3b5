package chairside

import (
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/conoid"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/patient"
)

// coach is how a sitting is used, and how who practises is helped in it.
type coach struct {
	visit    *chair.Visit
	use      Use
	opens    bool      // whoever works alone has opened the conoid
	guessing *guessing // nil: no question waits for what the student expects
}

// without reports whether the conoid is shut, because the student works alone.
func (c *coach) without() bool {
	return c.helps(chair.Alone) && !c.opens
}

// helps reports whether the student practises with a help.
func (c *coach) helps(h chair.Help) bool {
	p := c.use.Practice()
	return p != nil && p.Notes().Help == h
}

// stage has the bar tell where in the method who is helped is; for who is led the end
// point is to be stated by the next press there.
func (c *coach) stage(v voice.Voice, w *View, led *talk.Advice) {
	if c.helps(chair.Cues) {
		a := talk.AdviceOf(v, c.visit.Next())
		w.Bar.Stage, w.Bar.StageName = a.Stage, a.Title
	}
	if led == nil {
		return
	}
	w.Bar.Stage, w.Bar.StageName = led.Stage, led.Title
	for i := range w.Bar.Buttons {
		if w.Bar.Buttons[i].ID == "end" && led.States {
			w.Bar.Buttons[i].Look = ui.Primary
		}
	}
}

// asking is what can be asked, and what the guide says.
func (c *coach) asking(d *desk.Desk, waits bool, questions []patient.Question) talk.Asking {
	v, b := d.Voice(), c.visit.Brief()
	v = v.By(b.Room.Labels)
	a := talk.Asking{Expecting: c.expecting(v), Rows: chart.Named(c.visit.State().Chart).HasRows()}
	if c.helps(chair.Led) {
		ad := talk.AdviceOf(v, c.visit.Next())
		a.Advice = &ad
	}
	if waits {
		a.Waiting = v.Text("bench.talk.waiting", "name", talk.Who(v, b))
	}
	for _, q := range questions {
		a.Questions = append(a.Questions, talk.Question{Question: q, Label: talk.Asked(v, q)})
	}
	a.Lead = len(questions) > 0 && questions[0] != patient.ReadLetters
	return a
}

// noted notes what who works alone has looked up. To others it stands open.
func (c *coach) noted(what string) {
	if c.helps(chair.Alone) {
		c.visit.Open(what)
	}
}

// predicts reports whether answers are predicted: by who is helped, and in drills, unless
// the student does without.
func (c *coach) predicts(d *desk.Desk) bool {
	p := c.use.Practice()
	return p != nil && d.Settings.Now().Predict && (!c.helps(chair.Alone) || p.Notes().Drill != "")
}

// guess has the card and the talk ask what is expected; until then view and conoid are
// shut.
func (c *coach) guess(v voice.Voice, w *View) {
	if c.guessing == nil {
		w.Wall.Heard = heardOf(c.visit.Chair)
		return
	}
	b := c.visit.Brief()
	word := talk.Word(v, c.guessing.guess, b.Room.Labels)
	w.Wall.Guessing = &wall.Guessing{Ask: c.guessing.ask, Guess: c.guessing.guess, Marks: marks(c.visit.State()), Word: word}
	w.Wall.Sight, w.Wall.Curtain, w.Wall.Seen = false, 1, nil
	if w.Conoid != nil && w.Conoid.Shut == conoid.Open {
		w.Conoid.Shut = conoid.Guess
	}
}

// expecting is the same for the talk.
func (c *coach) expecting(v voice.Voice) *talk.Expecting {
	if c.guessing == nil {
		return nil
	}
	return &talk.Expecting{Ask: c.guessing.ask, Guess: c.guessing.guess, Who: talk.Who(v, c.visit.Brief())}
}
