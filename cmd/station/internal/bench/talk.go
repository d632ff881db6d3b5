package bench

import (
	"fmt"
	"math"
	"strconv"

	"conoid/cmd/internal/guide"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// drawTalk draws what was said, and below it what can be asked.
func (a *App) drawTalk(r paper.Rect) {
	u := a.ui
	below := min(a.askHeight, r.H*0.62)
	if below == 0 {
		below = r.H * 0.45
	}
	ask, talk := r.CutBottom(below)
	x, y, w := u.Scroll("talk", talk, true)
	c := u.Column(x+4, y+4, w-8)
	a.drawSaid(c, len(a.seat.talk))
	u.EndScroll(c.Y + 8)
	u.Scene().Box(paper.Rect{X: r.X, Y: ask.Y, W: r.W, H: 1}, 0, u.Theme.Rule)
	x, y, w = u.Scroll("ask", paper.Rect{X: ask.X, Y: ask.Y + 4, W: ask.W, H: ask.H - 4}, false)
	c = u.Column(x+4, y+6, w-8)
	top := c.Y
	a.drawNotice(c)
	a.drawAsk(c)
	u.EndScroll(c.Y + 4)
	if h := math.Ceil(c.Y - top + 18 - 0.01); h != a.askHeight {
		a.askHeight = h
		u.Again()
	}
}

// drawAsk draws what can be asked, or how to go through a replay.
func (a *App) drawAsk(c *ui.Column) {
	if a.seat.replay != nil {
		a.drawReplay(c)
		return
	}
	a.drawGuide(c)
	a.drawQuestions(c)
}

// drawSaid draws the last lines of the talk, newest at the bottom.
func (a *App) drawSaid(c *ui.Column, lines int) {
	t := a.seat
	if len(t.talk) == 0 {
		a.introduce(c)
		return
	}
	if lines >= len(t.talk) {
		a.introduce(c)
		c.Rule()
	}
	for _, l := range t.talk[max(0, len(t.talk)-lines):] {
		if l.e.Answer == nil {
			c.Para(a.done(l), ui.Note)
		} else {
			c.Para(a.l("talk.you", a.asked(l.e.Action, l.after.Chart)), ui.Quiet)
			if l.guess != "" {
				c.Para(a.l("talk.guessed", l.guess), ui.Note)
			}
			c.Para(a.l("talk.said", t.who(a), a.said(l)), ui.Strong)
			for _, row := range a.rows(*l.e.Answer) {
				c.Para(row, ui.Small)
			}
		}
		c.Gap(5)
	}
}

// introduce tells who sits there.
func (a *App) introduce(c *ui.Column) {
	t := a.seat
	c.Para(a.l("talk.patient", t.who(a), fmt.Sprintf("%.0f", t.c.Age), t.c.Symptoms), ui.Body)
	c.Gap(4)
	c.Para(a.l("talk.objective", a.eye(string(t.tested())), t.s.Setup().Eyes[t.tested().Index()].Objective.MinusCyl().String()), ui.Quiet)
	c.Gap(4)
	c.Para(a.l("caution"), ui.Note)
}

// question is a question that can be asked now.
type question struct {
	q    patient.Question
	size *float64
}

// drawQuestions draws what can be asked of the chart in view.
func (a *App) drawQuestions(c *ui.Column) {
	t := a.seat
	qs := t.s.Questions()
	if a.later != nil {
		c.Para(a.l("talk.waiting", t.who(a)), ui.Quiet)
		return
	}
	if len(qs) == 0 {
		c.Para(a.l("talk.nochart"), ui.Quiet)
		c.Gap(6)
	}
	c.Flow(func(f *ui.Flow) {
		for i, q := range qs {
			look := ui.Plain
			if i == 0 {
				look = ui.Primary
			}
			if f.Button("ask "+string(q), a.l("ask."+string(q)), look) {
				a.ask(question{q: q})
			}
		}
		if t.s.State().Chart == sitting.Letters {
			if f.Button("ask row", a.l("ask.row"), ui.Plain) {
				a.dialog = rowDialog
			}
		}
		if len(qs) > 0 && qs[0] != patient.ReadLetters {
			if f.Button("lead", a.l("ask.lead"), ui.Plain) {
				a.dialog = leadDialog
			}
		}
		if f.Button("explain", a.l("ask.explain"), ui.Plain) {
			a.perform(sitting.Action{Do: sitting.Explain})
		}
	})
}

// askFirst asks the natural question of the chart in view.
func (a *App) askFirst() {
	qs := a.seat.s.Questions()
	if len(qs) == 0 {
		a.notice = a.l("talk.nochart")
		return
	}
	a.ask(question{q: qs[0]})
}

// ask puts a question; in a drill with predictions the student says first what
// the patient will answer.
func (a *App) ask(q question) {
	if a.set.Predict && a.seat.notes.Drill != "" {
		a.dialog = guessDialog(q)
		return
	}
	a.put(q, "", "")
}

// put asks, once the screen that says so was painted.
func (a *App) put(q question, leading, guess string) {
	a.dialog = nil
	a.do(func() {
		if guess != "" {
			t := a.seat
			if t.notes.Guessed == nil {
				t.notes.Guessed = map[int]string{}
			}
			t.notes.Guessed[len(t.s.Events())+1] = guess
			a.keepNotes()
		}
		a.perform(sitting.Action{Do: sitting.Ask, Question: q.q, Size: q.size, Leading: leading})
	})
}

// answers are what a question can be answered with, and led to.
func answers(q patient.Question, s sitting.Setup) []string {
	switch q {
	case patient.WhichLines:
		out := []string{string(patient.Alike)}
		for label := 10; label <= 180; label += 10 {
			out = append(out, strconv.Itoa(label))
		}
		return out
	case patient.WhichLimb:
		return []string{string(patient.Left), string(patient.Right), string(patient.Alike)}
	case patient.WhichBlock:
		return []string{string(patient.Parallel), string(patient.Perpendicular), string(patient.Alike)}
	case patient.WhichColour:
		return []string{string(patient.RedClearer), string(patient.GreenClearer), string(patient.Alike)}
	case patient.WithLens, patient.OneOrTwo:
		return []string{string(patient.Better), string(patient.Worse), string(patient.Smaller), string(patient.Same)}
	}
	return nil
}

// leadDialog puts an answer into the patient's mouth: which is allowed, and
// counts against the student.
func leadDialog(a *App) {
	closed := a.ui.Dialog("leading", a.l("lead.title"), a.l("close"), 620, func(c *ui.Column) {
		c.Para(a.l("lead.about"), ui.Quiet)
		c.Gap(8)
		for _, q := range a.seat.s.Questions() {
			c.Para(a.l("ask."+string(q)), ui.Strong)
			c.Gap(3)
			c.Flow(func(f *ui.Flow) {
				for _, answer := range answers(q, a.seat.s.Setup()) {
					if answer == string(patient.Smaller) {
						continue
					}
					if f.Button("lead "+string(q)+" "+answer, a.voice().Ask(q, answer), ui.Plain) {
						a.put(question{q: q}, answer, "")
					}
				}
			})
			c.Gap(6)
		}
	})
	if closed {
		a.dialog = nil
	}
}

// rowDialog asks for a row of letters.
func rowDialog(a *App) {
	closed := a.ui.Dialog("rows", a.l("ask.row"), a.l("close"), 480, func(c *ui.Column) {
		c.Flow(func(f *ui.Flow) {
			for _, size := range chart.RowSizes() {
				label := patient.FormatAcuity(size)
				if f.Button("row "+label, label, ui.Plain) {
					a.put(question{patient.ReadLetters, &size}, "", "")
				}
			}
		})
	})
	if closed {
		a.dialog = nil
	}
}

// guessDialog asks the student what the patient will say.
func guessDialog(q question) dialog {
	return func(a *App) {
		closed := a.ui.Dialog("guess", a.l("guess.title"), a.l("guess.skip"), 560, func(c *ui.Column) {
			c.Para(a.voice().Ask(q.q, ""), ui.Quiet)
			c.Gap(8)
			c.Flow(func(f *ui.Flow) {
				for _, answer := range answers(q.q, a.seat.s.Setup()) {
					label := a.answerName(answer)
					if f.Button("guess "+answer, label, ui.Plain) {
						a.put(q, "", label)
					}
				}
			})
		})
		if closed {
			a.put(q, "", "")
		}
	}
}

// answerName is an answer in a word.
func (a *App) answerName(answer string) string {
	if _, err := strconv.Atoi(answer); err == nil {
		return a.l("answer.line", answer)
	}
	return a.l("answer." + answer)
}

// drawGuide draws the next step of the method for a guided student.
func (a *App) drawGuide(c *ui.Column) {
	t := a.seat
	if !t.notes.Guided {
		return
	}
	a.advice(c, a.nextStep())
	c.Rule()
}

// nextStep is what the guide says.
func (a *App) nextStep() guide.Advice {
	setup := a.seat.s.Setup()
	return guide.Next(guide.ViewOf(a.seat.s, setup.Tested, setup.Eyes[setup.Tested.Index()].Objective, setup.Room))
}

// advice draws an advice with a button for each thing to do.
func (a *App) advice(c *ui.Column, ad guide.Advice) {
	c.Para(a.voice().Text("advice.step", "n", fact.Count(ad.Stage), "all", fact.Count(guide.Stages), "title", ad.Title), ui.Strong)
	c.Gap(2)
	c.Para(a.voice().Say(ad.Text), ui.Body)
	c.Gap(6)
	c.Flow(func(f *ui.Flow) {
		for i, act := range ad.Do {
			look := ui.Plain
			if i == 0 {
				look = ui.Primary
			}
			if f.Button(fmt.Sprintf("guide %d", i), a.voice().Action(act), look) {
				a.dialog = nil
				if act.Do == sitting.End {
					a.openEnd()
					return
				}
				a.do(func() { a.perform(act) })
				return
			}
		}
	})
}

// hint shows the next step, and counts.
func (a *App) hint() {
	a.seat.notes.Hints++
	a.keepNotes()
	ad := a.nextStep()
	a.dialog = func(a *App) {
		closed := a.ui.Dialog("hint", a.l("hint.title"), a.l("close"), 520, func(c *ui.Column) {
			a.advice(c, ad)
			c.Para(a.l("hint.count", a.seat.notes.Hints), ui.Note)
		})
		if closed {
			a.dialog = nil
		}
	}
}
