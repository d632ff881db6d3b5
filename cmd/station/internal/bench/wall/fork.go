package wall

import (
	"math"

	"conoid/cmd/internal/expect"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/patient"
)

// Guessing is what the student expects of a question that waits for it.
type Guessing struct {
	Ask   wish.Ask
	Guess expect.Guess // as far as it is chosen
	Marks []chart.Line // of the chart
	Word  string       // what is expected, in words
}

// What belongs to the student and to the patient on the card, which is white by day and
// by night.
var (
	mine   = ui.Light().Act
	theirs = ui.Light().Amber
)

// expects lets the student choose on the chart itself what the patient will say.
func expects(u *ui.UI, v voice.Voice, w View, r paper.Rect, out *wish.List) {
	g := w.Guessing
	switch g.Ask.Question {
	case patient.WhichLines:
		if len(g.Marks) > 0 {
			ringOf(w, r).choose(u, v, out)
		}
	case patient.WhichLimb, patient.WhichBlock, patient.WhichColour:
		sides(u, v, w, r, out)
	}
}

// ring is the circle inside the lines of a dial that the fork lies on.
type ring struct {
	Guessing
	mid    paper.Point
	radius float64
	half   bool // the dial is the upper half of a circle
	step   int  // degrees from line to line
}

// Inside the lines, minutes of arc: the fork, and the arc of what was said.
const inside, further = 6, 11

func ringOf(w View, r paper.Rect) ring {
	at, k := w.place(r)
	inner := innermost(w.Guessing.Marks)
	return ring{*w.Guessing, at(chart.Point{}), (inner - inside) * k, chart.Named(w.Name).Half, int(w.Guessing.Marks[0].Step)}
}

// innermost is where the lines of a dial begin, minutes of arc from its middle.
func innermost(marks []chart.Line) float64 {
	c := marks[0].Centre
	return math.Hypot(c.X, c.Y) - marks[0].Length/2
}

// choose draws the fork and lets it be moved: a press on a line expects it and those
// beside it, and either end can be dragged.
func (g ring) choose(u *ui.UI, v voice.Voice, out *wish.List) {
	taken := false
	if g.Guess.Kind == patient.Lines {
		taken = g.ends(u, v, out)
	}
	hit := func(p paper.Point) bool { return !taken && g.reaches(p) }
	far := g.radius * 2.6
	whole := paper.Rect{X: g.mid.X - far, Y: g.mid.Y - far, W: 2 * far, H: 2 * far}
	if g.half {
		whole.H = far + 12
	}
	grip := u.Grip("expect lines", v.Text("bench.expect.lines"), g.Word, whole, hit)
	switch {
	case grip.Taken:
		l := g.label(grip.At)
		out.Add(wish.Expect{Guess: expect.LinesBetween(l-g.step, l+g.step)})
	case grip.Turn != 0:
		out.Add(wish.Expect{Guess: g.turned(grip.Turn)})
	}
	u.Ring("expect lines", whole)
	if g.Word != "" {
		y := g.mid.Y - g.radius*0.45
		if !g.half {
			y = g.mid.Y - tagHeight*u.Text/2
		}
		centred(u, g.mid.X, y, g.Word, mine)
	}
}

// reaches reports whether a place belongs to the dial.
func (g ring) reaches(p paper.Point) bool {
	d := math.Hypot(p.X-g.mid.X, p.Y-g.mid.Y)
	return d > g.radius*0.4 && d < g.radius*2.6
}

// label is the label of the line nearest to a place, degrees.
func (g ring) label(p paper.Point) int {
	a := shape.Degrees(g.mid, p)
	return int(math.Round(chart.LabelOf(a)/float64(g.step))) * g.step
}

// turned is the whole group moved by a line, the way that a key points.
func (g ring) turned(turn int) expect.Guess {
	if g.Guess.Kind != patient.Lines {
		return expect.LinesBetween(180-g.step, 180+g.step)
	}
	by := g.step
	if turn < 0 {
		by = -by
	}
	return expect.LinesBetween(g.Guess.From+by, g.Guess.To+by)
}

// widest is how many degrees a guess can reach.
const widest = 90

// ends are the two ends of the fork; they report whether one has the pointer.
func (g ring) ends(u *ui.UI, v voice.Voice, out *wish.List) (taken bool) {
	from, to := g.angles()
	arc(u.Scene(), g.mid, g.radius, g.half, to, from, 4, mine)
	apart := 0.0
	if g.Guess.From == g.Guess.To { // both have to be seen
		apart = 3.5
	}
	for i, end := range []struct {
		id   string
		at   float64
		move func(label int) expect.Guess
	}{
		{"expect from", from + apart, func(l int) expect.Guess { return expect.LinesBetween(l, g.Guess.To) }},
		{"expect to", to - apart, func(l int) expect.Guess { return expect.LinesBetween(g.Guess.From, l) }},
	} {
		p := shape.At(g.mid, g.radius, g.onDial(end.at))
		hit := paper.Rect{X: p.X - 22, Y: p.Y - 22, W: 44, H: 44}
		grip := u.Grip(end.id, v.Text("bench."+[]string{"expect.from", "expect.to"}[i]), g.Word, hit, func(paper.Point) bool { return !taken })
		var next expect.Guess
		switch {
		case grip.Held:
			next = end.move(g.label(grip.At))
		case grip.Turn != 0:
			next = end.move([]int{g.Guess.From, g.Guess.To}[i] + g.step*sign(grip.Turn))
		}
		if next.Kind != "" && next.Wide() <= widest && next != g.Guess {
			out.Add(wish.Expect{Guess: next})
		}
		taken = taken || grip.Over || grip.Held
		shape.Disc(u.Scene(), p, 13, mine)
		shape.Disc(u.Scene(), p, 5, shape.White())
		u.Ring(end.id, hit)
	}
	return taken
}

func sign(n int) int {
	if n < 0 {
		return -1
	}
	return 1
}

// angles are where the ends lie, degrees in the patient's view: the label rises from the
// first to the second, and the angle falls.
func (g ring) angles() (from, to float64) {
	from = chart.AngleOf(float64(g.Guess.From))
	return from, from - float64(g.Guess.Wide())
}

// onDial is an angle brought onto a dial: of half a circle only the upper half is there.
func (g ring) onDial(a float64) float64 { return brought(g.half, a) }

func brought(half bool, a float64) float64 {
	if !half {
		return a
	}
	a = math.Mod(a, 180)
	if a < 0 {
		a += 180
	}
	return a
}

// arc draws a part of a circle, from one angle to a larger one. On half a dial what
// passes a level line comes in again at the other.
func arc(sc *paper.Scene, mid paper.Point, r float64, half bool, from, to, width float64, col colour) {
	if !half || from >= 0 && to <= 180 {
		shape.Arc(sc, mid, r, from, to, width, col)
		return
	}
	if from < 0 {
		shape.Arc(sc, mid, r, from+180, 180, width, col)
		from = 0
	}
	if to > 180 {
		shape.Arc(sc, mid, r, 0, to-180, width, col)
		to = 180
	}
	shape.Arc(sc, mid, r, from, to, width, col)
}
