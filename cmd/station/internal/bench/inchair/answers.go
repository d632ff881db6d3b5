package inchair

import (
	"math"
	"strconv"

	"conoid/cmd/internal/asked"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/patient"
)

// asking is a question while it is being drawn.
type asking struct {
	*page
	q *asked.Question
}

// answers are what can be said to a question, in keys for so much room.
func (p asking) answers(w float64) []key {
	switch p.q.Action.Question {
	case patient.WhichLines:
		return p.lines(w)
	case patient.ReadLetters:
		return p.letters(w)
	}
	var out []key
	for _, k := range asked.Kinds(p.q.Action.Question) {
		out = append(out, p.kind(k))
	}
	if !sides(p.q.Action.Question) {
		return board{p.page}.spread(out, w)
	}
	last := len(out) - 1
	return append(board{p.page}.spread(out[:last], w), out[last])
}

// kind is the key of an answer in a word.
func (p asking) kind(k patient.Kind) key {
	label := p.v.Text("inchair.say." + string(k))
	if own := "." + string(p.q.Action.Question); p.v.Has("inchair.say." + string(k) + own) {
		label = p.v.Text("inchair.say." + string(k) + own)
	}
	return key{id: "say " + string(k), label: label, least: 88, act: func() { p.answer(patient.Answer{Kind: k}) }}
}

// lines are the lines of a dial, from the left to the right; one or more are pressed,
// and then said.
func (p asking) lines(w float64) (out []key) {
	drawing, _ := p.q.State.Wall(p.x.Room().Labels)
	marks := chart.Named(p.q.State.Chart).Marks(chart.Hung{})
	wide := abreast(len(marks), 46, w)
	for i := range marks {
		angle := marks[len(marks)-1-i].Angle
		k := key{
			id: "ray " + strconv.Itoa(int(angle)), label: printed(drawing, angle), slope: &angle, least: wide,
			look: chosen(p.draft.lines[angle]), act: func() { p.toggle(angle) },
		}
		if k.name = p.v.Text("inchair.line", "label", fact.Label(chart.LabelOf(angle))); k.label == "" {
			k.name = p.v.Text("inchair.line.nth", "n", i+1)
		}
		out = append(out, k)
	}
	say := key{id: "say lines", label: p.v.Text("inchair.say.lines"), look: ui.Primary, breaks: true, off: len(p.draft.lines) == 0, act: p.sayLines}
	out = append(out, say)
	for _, k := range asked.Kinds(patient.WhichLines) {
		out = append(out, p.kind(k))
	}
	return out
}

// printed is what is printed at the end of a line.
func printed(d chart.Drawing, angle float64) string {
	for _, l := range d.Labels {
		if at := math.Atan2(l.At.Y, l.At.X) * 180 / math.Pi; math.Abs(at-angle) < 1 {
			return l.Text
		}
	}
	return ""
}

// toggle takes a line among those that are named, or out of them.
func (p asking) toggle(angle float64) {
	if p.draft.lines == nil {
		p.draft.lines = map[float64]bool{}
	}
	if p.draft.lines[angle] {
		delete(p.draft.lines, angle)
	} else {
		p.draft.lines[angle] = true
	}
}

func (p asking) sayLines() {
	var lines []float64
	for angle := range p.draft.lines {
		lines = append(lines, angle)
	}
	p.answer(asked.Named(lines))
}

// letters are the rows of letters, how much of the next was read, and the rest.
func (p asking) letters(w float64) (out []key) {
	rows, now := p.q.State.Rows, p.draft
	wide := abreast(len(rows), 44, w)
	for i := range rows {
		n := i + 1
		out = append(out, key{
			id: "row " + strconv.Itoa(n), label: strconv.Itoa(n), name: p.v.Text("inchair.row", "n", n), least: wide,
			look: chosen(now.row == n), act: func() { p.draft = draft{row: n} },
		})
	}
	out = append(out, key{text: true, label: p.v.Text("inchair.more.ask"), breaks: true})
	for n := 1; n < chart.MaxRow; n++ {
		out = append(out, key{
			id: "more " + strconv.Itoa(n), label: "+" + strconv.Itoa(n), name: p.v.Text("inchair.more", "n", n), least: 44,
			look: chosen(now.more == n), off: now.row == 0 || now.row == len(rows), act: func() { p.more(n) },
		})
	}
	say := func() { p.answer(asked.ReadTo(rows, now.row-1, now.more)) }
	out = append(out, key{id: "say read", label: p.v.Text("inchair.say.read"), look: ui.Primary, off: now.row == 0, act: say})
	return append(out, p.kind(patient.Blurred))
}

// more takes so many letters of the next row, or none when they were taken already.
func (p asking) more(n int) {
	if p.draft.more == n {
		n = 0
	}
	p.draft.more = n
}

// sides reports whether two things beside one another are compared.
func sides(q patient.Question) bool {
	return q == patient.WhichLimb || q == patient.WhichBlock || q == patient.WhichColour
}

// struck answers by the keys of the keyboard: left and right for what lies there, down
// for no difference.
func (p asking) struck() {
	if p.works || !sides(p.q.Action.Question) {
		return
	}
	kinds := asked.Kinds(p.q.Action.Question)
	for i, k := range []ui.Key{ui.Left, ui.Down, ui.Right} {
		if p.u.Take(k) {
			p.answer(patient.Answer{Kind: kinds[i]})
			return
		}
	}
}
