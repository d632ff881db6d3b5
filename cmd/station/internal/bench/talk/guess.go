package talk

import (
	"slices"

	"conoid/cmd/internal/expect"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
)

// Expecting is a question that waits for what the student expects.
type Expecting struct {
	Ask   wish.Ask
	Guess expect.Guess // as far as it is chosen
	Who   string
}

// Word is what is expected, in words; labels says whether the lines are called by their
// axes.
func Word(v voice.Voice, g expect.Guess, labels chart.Labels) string {
	v = v.By(labels)
	switch {
	case g.Kind == "":
		return ""
	case g.Kind == patient.Read:
		return v.Text("bench.expect.row", "row", fact.Row(g.Row))
	case g.Kind != patient.Lines:
		return v.Examiner().Expected(string(g.Kind))
	case labels == chart.NoLabels:
		return v.Text("bench.expect.marked")
	case g.From == g.To:
		return v.Text("bench.expect.line", "at", fact.Label(g.From))
	}
	return v.Text("bench.expect.group", "from", fact.Label(g.From), "to", fact.Label(g.To))
}

// compared is what was expected of an answer and how that compares; empty for nothing.
func compared(v voice.Voice, predicted string, a patient.Answer, labels chart.Labels) string {
	g, ok := expect.Parse(predicted)
	if !ok {
		return ""
	}
	word := Word(v, g, labels)
	verdict := g.Holds(a)
	if verdict == expect.Open {
		return v.Text("bench.talk.guessed", "answer", word)
	}
	if a.Kind == patient.Read {
		return v.Text("bench.talk.compared.row", "answer", word, "row", fact.Row(a.LogMAR), "verdict", verdict)
	}
	return v.Text("bench.talk.compared", "answer", word, "verdict", verdict)
}

// First is what has the keyboard first.
func (e Expecting) First() string {
	switch e.Ask.Question {
	case patient.WhichLines:
		return "expect lines"
	case patient.ReadLetters:
		return "expect row less"
	}
	return "expect " + string(expect.Kinds(e.Ask.Question)[0])
}

// Expect asks the student in a place what the patient will say.
func Expect(u *ui.UI, v voice.Voice, r paper.Rect, e Expecting, out *wish.List) {
	sc := u.Scene()
	sc.Box(r, 10, u.Theme.Sheet)
	sc.Frame(r, 10, 1, u.Theme.Edge)
	sc.Box(paper.Rect{X: r.X, Y: r.Y, W: 6, H: r.H}, 3, u.Theme.Act)
	const edge = 4 // for the outlines of the buttons
	in := paper.Rect{X: r.X + 22 - edge, Y: r.Y + 8, W: r.W - 36 + edge, H: r.H - 16}
	x, y, w := u.Scroll("expect", in, false)
	c := u.Column(x+edge, y, w-2*edge)
	ExpectIn(u, v, c, e, out)
	u.EndScroll(c.Y)
}

// ExpectIn does so in a column.
func ExpectIn(u *ui.UI, v voice.Voice, c *ui.Column, e Expecting, out *wish.List) {
	if u.Take(ui.Escape) {
		out.Add(wish.Unask{})
	}
	c.Para(v.Text("bench.expect.title", "name", e.Who), ui.Strong)
	c.Para(v.Text("bench.talk.you", "question", v.Examiner().Ask(e.Ask.Question, "")), ui.Quiet)
	if how := e.how(v); how != "" {
		c.Para(how, ui.Small)
	}
	c.Gap(8)
	if e.Ask.Question == patient.ReadLetters {
		e.row(v, c, out)
	}
	c.Flow(func(f *ui.Flow) {
		e.commit(u, v, f, c.W, out)
		kinds := expect.Kinds(e.Ask.Question)
		for _, kind := range kinds {
			label := v.Capital(v.Examiner().Expected(string(kind)))
			if wordy(u, f, c.W, "expect "+string(kind), label, ui.Question) {
				out.Add(wish.Guess{Ask: e.Ask, Guess: expect.Guess{Kind: kind}})
			}
		}
		if wordy(u, f, c.W, "just ask", v.Text("bench.expect.skip"), ui.Ghost) {
			out.Add(wish.Guess{Ask: e.Ask})
		}
	})
}

// how says how the answer is chosen on the chart.
func (e Expecting) how(v voice.Voice) string {
	switch e.Ask.Question {
	case patient.WhichLines:
		return v.Text("bench.expect.how.lines")
	case patient.WhichLimb, patient.WhichBlock, patient.WhichColour:
		return v.Text("bench.expect.how.sides")
	}
	return ""
}

// commit is the press that asks, where a guess is chosen before.
func (e Expecting) commit(u *ui.UI, v voice.Voice, f *ui.Flow, room float64, out *wish.List) {
	if e.Ask.Question != patient.WhichLines && e.Ask.Question != patient.ReadLetters {
		return
	}
	label := v.Text("bench.expect.commit")
	wide, high := u.ButtonSize(label, room)
	if u.ButtonIf(e.Guess.Kind != "", "expect", f.Next(wide, max(high, 44)), label, ui.First) {
		out.Add(wish.Guess{Ask: e.Ask, Guess: e.Guess})
	}
}

// row chooses the smallest row that will be read.
func (e Expecting) row(v voice.Voice, c *ui.Column, out *wish.List) {
	sizes := chart.RowSizes()
	at := slices.Index(sizes, e.Guess.Row)
	if by := c.Stepper("expect row", v.Text("bench.expect.smallest"), v.Value(fact.Row(e.Guess.Row))); by != 0 && at >= 0 {
		if next := at + by; next >= 0 && next < len(sizes) {
			out.Add(wish.Expect{Guess: expect.Guess{Kind: patient.Read, Row: sizes[next]}})
		}
	}
}

// wordy is a button in a row that is as high as a finger.
func wordy(u *ui.UI, f *ui.Flow, room float64, id, label string, look ui.Look) bool {
	wide, high := u.ButtonSize(label, room)
	return u.Button(id, f.Next(wide, max(high, 44)), label, look)
}
