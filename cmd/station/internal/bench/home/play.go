package home

import (
	"math"

	"conoid/cmd/station/internal/bench/conoid"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// play is a conoid to play with. It is nobody's: what is set is all there is to it.
type play struct {
	front, back float64 // where the lines lie, dioptres before the retina
	axis        int     // of the minus cylinder that brings them together, 1 to 180
	grab        float64 // what was taken, less the place of the pointer, dioptres
	held        bool
	fan         *fan
}

// How far the lines go, in dioptres before and behind the retina, in what steps, and
// at what distance one takes the other along: they have met.
const (
	furthest = 2.0
	behind   = 1.0
	grain    = 0.05
	meets    = render.Stigmatic
)

// newPlay begins with a usual astigmatism in little fog.
func newPlay() play { return play{front: 1, back: 0.25, axis: 35, fan: &fan{}} }

// residual is what is left, were this an eye.
func (p *play) residual() optics.Power {
	return optics.Rx{Sphere: -p.back, Cyl: p.back - p.front, Axis: float64(p.axis)}.Power().Scale(-1)
}

// move moves a line; the other gives way when they meet.
func (p *play) move(line *float64, to float64) {
	*line = max(-behind, min(furthest, math.Round(to/grain)*grain))
	if p.front-p.back >= meets {
		return
	}
	if line == &p.front {
		p.back = p.front
	} else {
		p.front = p.back
	}
}

// fog moves both lines.
func (p *play) fog(by float64) {
	by = max(-behind-p.back, min(furthest-p.front, by))
	p.front, p.back = p.front+by, p.back+by
}

// cylinder moves the front line away from the back one.
func (p *play) cylinder(by float64) {
	p.front = max(p.back, min(furthest, p.front+by))
	if p.front-p.back < meets {
		p.front = p.back
	}
}

// parts are the heights of the parts from above: the heading, the chamber, the fan, the
// steppers, and what it teaches; 0 leaves that out.
type parts struct{ head, chamber, fan, steps, lesson float64 }

// fanShape is the height of the picture of the fan to its width, and widestFan how wide
// it is at most.
const (
	fanShape  = 103.0 / 180
	widestFan = 980.0
)

// free are the parts in a column that scrolls.
func (p *play) free(d *desk.Desk, w float64) parts {
	u, v := d.UI, d.Voice()
	return parts{
		head:    u.ParaHeight(v.Text("bench.play.title"), w, ui.Head) + u.ParaHeight(v.Text("bench.play.about"), w, ui.Note) + 8,
		chamber: min(max(0.6*w, 170*u.Text), 300*u.Text),
		fan:     min(w*fanShape, 340),
		steps:   p.stepRow(u, v, w).height(),
		lesson:  u.ParaHeight(v.Text("bench.play.lesson"), w, ui.Body) + 10,
	}
}

// within are the parts in a place of a height.
func (p *play) within(d *desk.Desk, r paper.Rect) parts {
	m := p.free(d, r.W)
	widest := min(r.W, widestFan) * fanShape
	room := r.H - m.head - m.steps - 22
	if room-m.lesson >= 0.42*r.W+widest {
		room -= m.lesson
	} else { // it stands small in the head
		m.lesson = 0
		u, v := d.UI, d.Voice()
		more := u.ParaHeight(v.Text("bench.play.lesson"), r.W, ui.Note) - u.ParaHeight(v.Text("bench.play.about"), r.W, ui.Note)
		m.head, room = m.head+more, room-more
	}
	m.fan = min(widest, room*0.54)
	m.chamber = min(room-m.fan, 0.7*r.W, 460*d.UI.Text)
	return m
}

// height is how high they are together.
func (m parts) height() float64 { return m.head + m.chamber + 12 + m.fan + 10 + m.steps + m.lesson }

// draw draws the parts below one another.
func (p *play) draw(d *desk.Desk, r paper.Rect, m parts) {
	u, v := d.UI, d.Voice()
	c := u.Column(r.X, r.Y, r.W)
	c.Para(v.Text("bench.play.title"), ui.Head)
	about := "bench.play.about"
	if m.lesson == 0 {
		about = "bench.play.lesson"
	}
	c.Para(v.Value(fact.Fact{ID: about}), ui.Note)
	c.Gap(8)
	p.chamber(d, c.Block(m.chamber))
	c.Gap(12)
	p.fan.draw(d, c.Block(m.fan), p.residual(), p.held)
	c.Gap(10)
	p.steppers(u, v, c)
	if m.lesson > 0 {
		c.Gap(10)
		c.Para(v.Text("bench.play.lesson"), ui.Body)
	}
}

// chamber draws the conoid and lets its lines be taken.
func (p *play) chamber(d *desk.Desk, r paper.Rect) {
	u, v := d.UI, d.Voice()
	plan := conoid.Draw(u, v, r, conoid.View{Residual: p.residual(), Grips: true, Reach: furthest, Behind: behind})
	front, back := plan.X(p.front), plan.X(p.back)
	middle := (front + back) / 2
	p.held = false
	p.grip(u, v.Text("bench.play.front"), v, plan, &p.front, func(q paper.Point) bool { return q.X <= middle })
	p.grip(u, v.Text("bench.play.back"), v, plan, &p.back, func(q paper.Point) bool { return q.X > middle })
}

// grip lets a line be taken, within reach of its knob and where hit says.
func (p *play) grip(u *ui.UI, name string, v voice.Voice, plan render.Strip, line *float64, hit func(paper.Point) bool) {
	const reach = 28
	r := paper.Rect{X: plan.X(*line) - reach, Y: plan.Mid - reach, W: 2 * reach, H: 2 * reach}
	g := u.Grip("play "+name, name, v.Value(fact.Power(*line)), r, hit)
	at := plan.Power(g.At.X)
	if g.Taken {
		p.grab = *line - at
	}
	if g.Held {
		p.move(line, at+p.grab)
		p.held = true
	}
	if g.Turn != 0 { // right is behind, as it is drawn
		p.move(line, *line-grain*math.Copysign(math.Ceil(math.Abs(float64(g.Turn))/5), float64(g.Turn)))
	}
	if g.Freed {
		u.Again() // once more, with a fine picture
	}
	u.Ring("play "+name, r.Inset(10))
}
