package sheet

import (
	"conoid/cmd/internal/guide"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
)

func tell(id string) fact.Fact { return fact.Fact{ID: id} }

// Leading puts an answer into the patient's mouth: which is allowed, and counts
// against the student.
type Leading struct{}

// Draw implements Sheet.
func (Leading) Draw(d *desk.Desk, w View, out *wish.List) desk.Next {
	v, pressed := d.Voice(), false
	closed := d.UI.Dialog("leading", v.Text("bench.lead.title"), v.Text("bench.close"), 620, func(c *ui.Column) {
		c.Para(v.Text("bench.lead.about"), ui.Quiet)
		c.Gap(8)
		for _, q := range w.Questions {
			c.Para(talk.Asked(v, q), ui.Strong)
			c.Gap(3)
			c.Flow(func(f *ui.Flow) {
				for _, answer := range talk.Answers(q) {
					if f.Button("lead "+string(q)+" "+answer, v.Examiner().Ask(q, answer), ui.Plain) {
						out.Add(wish.Ask{Question: q, Leading: answer})
						pressed = true
					}
				}
			})
			c.Gap(6)
		}
	})
	return closeIf(closed || pressed)
}

func closeIf(closed bool) desk.Next {
	if closed {
		return desk.Close{}
	}
	return desk.Stay{}
}

// Rows asks for a row of letters.
type Rows struct{}

// Draw implements Sheet.
func (Rows) Draw(d *desk.Desk, _ View, out *wish.List) desk.Next {
	v, pressed := d.Voice(), false
	closed := d.UI.Dialog("rows", v.Text("bench.ask.row"), v.Text("bench.close"), 480, func(c *ui.Column) {
		c.Flow(func(f *ui.Flow) {
			for _, size := range chart.RowSizes() {
				if f.Button("row "+patient.FormatAcuity(size), v.Value(fact.Row(size)), ui.Plain) {
					out.Add(wish.Ask{Question: patient.ReadLetters, Size: &size})
					pressed = true
				}
			}
		})
	})
	return closeIf(closed || pressed)
}

// Charts are all that can hang on the wall.
type Charts struct{}

// Draw implements Sheet.
func (Charts) Draw(d *desk.Desk, w View, out *wish.List) desk.Next {
	v, before := d.Voice(), len(*out)
	closed := d.UI.Dialog("all charts", v.Text("bench.charts.title"), v.Text("bench.close"), 480, func(c *ui.Column) {
		c.Flow(func(f *ui.Flow) {
			for _, name := range chart.Names() {
				wall.Tile(d.UI, v, f.Next(104*d.UI.Text, 72*d.UI.Text), name, w.State.Chart == name, out)
			}
		})
	})
	return closeIf(closed || len(*out) > before)
}

// Guess asks the student what the patient will say.
type Guess struct{ Ask wish.Ask }

// Draw implements Sheet.
func (g Guess) Draw(d *desk.Desk, _ View, out *wish.List) desk.Next {
	v, pressed := d.Voice(), false
	closed := d.UI.Dialog("guess", v.Text("bench.guess.title"), v.Text("bench.guess.skip"), 560, func(c *ui.Column) {
		c.Para(v.Examiner().Ask(g.Ask.Question, ""), ui.Quiet)
		c.Gap(8)
		c.Flow(func(f *ui.Flow) {
			for _, answer := range talk.Answers(g.Ask.Question) {
				if f.Button("guess "+answer, v.Examiner().Expected(answer), ui.Plain) {
					out.Add(wish.Guess{Ask: g.Ask, Answer: answer})
					pressed = true
				}
			}
		})
	})
	if closed {
		out.Add(wish.Guess{Ask: g.Ask})
	}
	return closeIf(closed || pressed)
}

// Hint shows the next step, as it was when it was asked for.
type Hint struct{ Advice guide.Advice }

// Draw implements Sheet.
func (h Hint) Draw(d *desk.Desk, w View, out *wish.List) desk.Next {
	v, before := d.Voice(), len(*out)
	closed := d.UI.Dialog("hint", v.Text("bench.hint.title"), v.Text("bench.close"), 520, func(c *ui.Column) {
		talk.Advise(c, talk.AdviceOf(v, h.Advice), out)
		c.Para(v.Text("bench.hint.count", "n", w.Hints), ui.Note)
	})
	return closeIf(closed || len(*out) > before)
}
