package sheet

import (
	"math"
	"slices"
	"strconv"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/patient"
)

// Leading puts an answer into the patient's mouth: which is allowed, and counts
// against the student. What would be said stands there before it is said.
type Leading struct {
	question patient.Question // empty: the natural one
	answer   string           // empty: none is chosen yet
}

// leading is what it is drawn with.
type leading struct {
	*Leading
	u *ui.UI
	v voice.Voice
	w View
	c *ui.Column
}

// Draw implements Sheet.
func (l *Leading) Draw(d *desk.Desk, w View, out *wish.List) desk.Next {
	v, pressed := d.Voice(), false
	closed := d.UI.Dialog("leading", v.Text("bench.lead.title"), v.Text("bench.close"), 760, func(c *ui.Column) {
		p := leading{l, d.UI, v.By(w.Brief.Room.Labels), w, c}
		c.Para(v.Text("bench.lead.about"), ui.Note)
		c.Gap(10)
		p.questions()
		p.picture()
		pressed = p.say()
	})
	if pressed {
		out.Add(wish.Ask{Question: l.question, Leading: l.answer})
	}
	return closeIf(closed || pressed)
}

// questions are those that can be led, to choose from where there are several.
func (p leading) questions() {
	can := slices.DeleteFunc(slices.Clone(p.w.Questions), func(q patient.Question) bool { return talk.Answers(q) == nil })
	if !slices.Contains(can, p.question) && len(can) > 0 {
		p.question, p.answer = can[0], ""
	}
	if len(can) < 2 {
		return
	}
	p.c.Flow(func(f *ui.Flow) {
		for _, q := range can {
			look := ui.Plain
			if q == p.question {
				look = ui.Selected
			}
			if f.Button("lead "+string(q), talk.Asked(p.v, q), look) && q != p.question {
				p.question, p.answer = q, ""
				p.u.Unsettle()
			}
		}
	})
	p.c.Gap(2)
}

// The width of the chart: of one whose lines are pressed, and of another, logical pixels at
// a text size of 100 %.
const (
	dialCard  = 500
	otherCard = 300
)

// picture is the chart as it hangs, small; on a dial a line is pressed.
func (p leading) picture() {
	drawn, hangs := p.w.State.Wall(p.w.Brief.Room.Labels)
	if !hangs {
		return
	}
	name := p.w.State.Chart
	view := wall.View{Name: name, Chart: drawn, Window: sight.WindowOf(name, drawn)}
	wide, text := otherCard*p.u.Text, p.v.Text("bench.lead.choose")
	lines := p.question == patient.WhichLines
	if lines {
		wide, text = dialCard*p.u.Text, p.v.Text("bench.lead.press", "alike", p.word(string(patient.Alike)))
	}
	wide = min(wide, p.c.W)
	r := p.c.Block(math.Round(wide / view.Window.Width * view.Window.Height))
	r.X, r.W = r.X+math.Floor((r.W-wide)/2), wide
	mid, k := wall.Print(p.u, view, r)
	p.c.Gap(10)
	if lines {
		p.lines(r, mid, k)
	}
	p.c.Para(text, ui.Note)
	p.c.Gap(10)
}

// The ring around the label of a line, and the dot where the line ends inside, minutes of
// arc from the middle: every dial has its labels and lines there.
const (
	labelAt = 80
	dotAt   = 36
)

// lines lets a line of a dial be pressed, or found with the arrow keys.
func (p leading) lines(r paper.Rect, mid paper.Point, k float64) {
	dial := chart.Named(p.w.State.Chart)
	value := p.v.Text("bench.lens.none")
	label, err := strconv.Atoi(p.answer)
	if err == nil {
		value = p.v.Examiner().Expected(p.answer)
	}
	g := p.u.Grip("lead line", p.v.Text("bench.lead.line"), value, r, nil)
	switch {
	case g.Taken || g.Held:
		p.lead(lineAt(dial, shape.Degrees(mid, g.At)))
	case g.Turn != 0:
		p.lead(nextLine(dial, label, g.Turn))
	}
	p.u.Ring("lead line", r)
	if label, err = strconv.Atoi(p.answer); err != nil {
		return
	}
	angle := chart.AngleOf(float64(label))
	ends := []float64{angle, angle + 180}
	if dial.Half && angle > 0 { // only the level line has its other end there
		ends = ends[:1]
	}
	for _, end := range ends {
		shape.Circle(p.u.Scene(), shape.At(mid, labelAt*k, end), max(14, 6.5*k), 3, ink)
		shape.Disc(p.u.Scene(), shape.At(mid, dotAt*k, end), max(3, 2*k), ink)
	}
}

// lead chooses a line.
func (p leading) lead(label int) {
	if answer := strconv.Itoa(label); answer != p.answer {
		p.answer = answer
		p.u.Unsettle()
	}
}

// ink is what is drawn on the chart with, which is white by day and by night.
var ink = ui.Light().Ink

// lineAt is the label of the line of a dial that lies nearest to an angle as the patient
// sees it, degrees counter-clockwise from the right.
func lineAt(dial chart.Chart, angle float64) int {
	if dial.Half { // below the level lines these are the nearest
		angle = math.Mod(angle+360, 360)
		switch {
		case angle > 270:
			angle = 0
		case angle > 180:
			angle = 180
		}
	}
	step := float64(dial.Step)
	return shape.Whole(step * math.Round(chart.LabelOf(angle)/step))
}

// nextLine is the next label, clockwise to the right; 0 is none yet.
func nextLine(dial chart.Chart, label, turn int) int {
	step := dial.Step
	if turn < 0 {
		step = -step
	}
	return shape.Folded(label + step)
}

// answers are what else can be led to, as buttons.
func (p leading) answers() (all []string) {
	for _, a := range talk.Answers(p.question) {
		if _, err := strconv.Atoi(a); err != nil {
			all = append(all, a)
		}
	}
	return all
}

// word is an answer as its button has it.
func (p leading) word(answer string) string { return p.v.Capital(p.v.Examiner().Expected(answer)) }

// say shows what will be said, and the press that says it; it reports whether that was
// pressed.
func (p leading) say() (pressed bool) {
	p.c.Flow(func(f *ui.Flow) {
		for _, a := range p.answers() {
			look := ui.Plain
			if a == p.answer {
				look = ui.Selected
			}
			if f.Button("lead "+a, p.word(a), look) {
				p.answer = a
				p.u.Unsettle()
			}
		}
	})
	p.c.Gap(6)
	u, k, label := p.u, p.u.Text, p.v.Text("bench.lead.ask")
	w, h := u.ButtonSize(label, p.c.W)
	high := 2*u.LineHeight(ui.Body) + 14*k
	r := p.c.Block(high)
	if r.W >= w+300*k {
		var button paper.Rect
		button, r = r.CutRight(w)
		_, r = r.CutRight(12)
		button.Y, button.H = button.Y+(high-h)/2, h
		pressed = u.ButtonIf(p.answer != "", "lead now", button, label, ui.Plain)
	} else {
		p.c.Gap(14)
		pressed = u.ButtonIf(p.answer != "", "lead now", p.c.Block(h), label, ui.Plain)
	}
	p.bubble(r)
	p.c.Gap(8)
	return pressed
}

// bubble is the sentence.
func (p leading) bubble(r paper.Rect) {
	if p.answer == "" {
		p.u.Scene().Frame(r, 20, 1, p.u.Theme.Rule)
		return
	}
	ui.Bubble(p.u, r)
	text := p.v.Text("bench.talk.quoted", "answer", p.v.Examiner().Ask(p.question, p.answer))
	inner := paper.Rect{X: r.X + 16, Y: r.Y, W: r.W - 32, H: r.H}
	high := p.u.ParaHeight(text, inner.W, ui.Body)
	p.u.Para(inner.X, inner.Y+(inner.H-high)/2, inner.W, text, ui.Body)
}
