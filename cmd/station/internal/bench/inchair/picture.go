package inchair

import (
	"image/color"
	"math"
	"strconv"

	"conoid/cmd/internal/asked"
	"conoid/cmd/station/internal/bench/settings"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/chart"
	"conoid/sim/patient"
)

// picture is what the eye saw at a question, and the part of the chart's plane that is
// shown of it.
type picture struct {
	seen   sight.Picture
	window sight.Window
	rows   []patient.RowRead // of letters in view
}

// see works out what the eye saw at a question: now, or before what is to be compared.
func (p *page) see(q *asked.Question, before bool) picture {
	glimpse, eye, st := q.Now, &p.eyes[0], q.State
	if before {
		glimpse, eye = q.Before, &p.eyes[1]
	}
	st.Frames[p.x.Tested().Index()] = glimpse.Frame()
	drawing, _ := st.Wall(p.x.Room().Labels)
	out := picture{window: sight.WindowOf(st.Chart, drawing), rows: st.Rows}
	out.seen = eye.Look(glimpse, p.x.Tested(), st, drawing, out.window)
	return out
}

// smaller are the rows of letters that a screen shows too coarsely unless they are
// shown by themselves: from this one on, counted from 0. It is the eighth of 14, of
// 6/12 in a chart in tenths.
const smaller = 7

// close shows the smaller rows alone.
func (w picture) close() picture {
	top, _ := rowPlace(w.rows, smaller)
	_, foot := rowPlace(w.rows, len(w.rows)-1)
	const room = 1.1
	high := room * (top - foot)
	w.window.Mid = chart.Point{Y: (top + foot) / 2}
	w.window.Width, w.window.Height = high*sight.Aspect, high
	return w
}

// rowPlace is where a row of letters begins and ends on its sheet, minutes of arc above
// the middle: rows are parted by the height of the one below (Bailey and Lovie 1976).
func rowPlace(rows []patient.RowRead, row int) (top, foot float64) {
	total := 0.0
	for i, r := range rows {
		h := chart.LetterHeight(r.LogMAR)
		if i > 0 {
			total += h // between
			if i <= row {
				top -= h
			}
		}
		total += h
		if i < row {
			top -= h
		}
	}
	top += total / 2
	return top, top - chart.LetterHeight(rows[row].LogMAR)
}

// black is what is printed on the card, which is white by day and by night.
var black = color.NRGBA{0x24, 0x21, 0x1D, 255}

// draw draws the picture on a card, with so many logical pixels to the minute of arc.
func (w picture) draw(p *page, r paper.Rect, k float64) {
	sc := p.u.Scene()
	sc.Box(paper.Rect{X: r.X + 3, Y: r.Y + 4, W: r.W, H: r.H}, 0, p.u.Theme.Shade)
	sc.Frame(r.Inset(-1), 0, 1, p.u.Theme.Edge)
	sc.Box(r, 0, w.ground())
	if w.seen.State != sight.Seen {
		return
	}
	p.u.Clip(r)
	defer p.u.Unclip()
	mid := r.Centre()
	at := paper.Point{X: mid.X + k*(w.seen.Mid.X-w.window.Mid.X), Y: mid.Y - k*(w.seen.Mid.Y-w.window.Mid.Y)}
	sc.Picture(paper.Rect{X: at.X - k*w.seen.Wide/2, Y: at.Y - k*w.seen.High/2, W: k * w.seen.Wide, H: k * w.seen.High}, w.seen.Image, w.seen.Version)
	w.number(p, r, k)
}

// ground is what there is beyond the picture, or in its place.
func (w picture) ground() color.NRGBA {
	switch {
	case w.seen.State == sight.Blurred: // nothing but an even light
		return color.NRGBA{0xD8, 0xD8, 0xD8, 255}
	case w.seen.State == sight.Dark || w.seen.Dark:
		return color.NRGBA{0, 0, 0, 255}
	}
	return shape.White()
}

// number writes beside the rows of letters how the answers call them, as far as there
// is room.
func (w picture) number(p *page, r paper.Rect, k float64) {
	size, last := 13*p.u.Text, math.Inf(-1)
	for i := range w.rows {
		top, foot := rowPlace(w.rows, i)
		y := r.Centre().Y - k*((top+foot)/2-w.window.Mid.Y)
		if y-last < size+1 || y < r.Y+size/2 || y > r.Bottom()-size/2 {
			continue
		}
		last = y
		p.u.Scene().Text(r.X+10, y+paper.CapHeight(size, paper.Bold)/2, size, paper.Bold, strconv.Itoa(i+1), black)
	}
}

// trueScale is how many logical pixels make a minute of arc on this screen where a
// picture is as large as what hangs in the room; ok is false where the screen was
// never measured.
func trueScale(s settings.Settings) (pixels float64, ok bool) {
	mm := 10 * s.Viewing * math.Tan(math.Pi/180/60)
	return mm * s.Card / settings.CardWidth, s.Card > 0
}

// exact is how many logical pixels make a minute of arc where pictures are to be true
// to scale; ok is false where they are to fill the card.
func (p *page) exact() (pixels float64, ok bool) {
	k, measured := trueScale(p.d.Settings.Now())
	return k, measured && !p.view.larger
}

// pixels is how many logical pixels make a minute of arc on a card: what is true to
// scale has to have room.
func (p *page) pixels(w picture, r paper.Rect) float64 {
	fitted := r.W / w.window.Width
	if k, exact := p.exact(); exact {
		return min(k, fitted)
	}
	return fitted
}

// card draws what the eye sees at a question, and gives how large it is in words.
func (p *page) card(q *asked.Question, r paper.Rect) (scale string) {
	w := p.see(q, p.view.before && q.Compare)
	if _, exact := p.exact(); len(w.rows) > 0 && p.view.close && !exact {
		w = w.close()
	}
	k, s := p.pixels(w, r), p.d.Settings.Now()
	w.draw(p, r, k)
	p.u.Image(p.v.Text("inchair.seen"), "", r)
	return wall.Scale{Card: s.Card, Viewing: s.Viewing}.Text(p.v, k)
}

// looks are the ways to look at the picture that there are at a question.
func (p *page) looks(q *asked.Question) (out []key) {
	both := func(id, first, second string, now bool, set func(second bool)) {
		out = append(out,
			key{id: id + " 1", label: first, look: chosen(!now), breaks: true, act: func() { set(false) }},
			key{id: id + " 2", label: second, look: chosen(now), act: func() { set(true) }})
	}
	if q.Compare {
		first, second := p.v.Text("inchair.before"), p.v.Text("inchair.now")
		if q.Action.Question == patient.WithLens {
			first, second = p.v.Text("inchair.without"), p.v.Text("inchair.with")
		}
		both("view", first, second, !p.view.before, func(now bool) { p.view.before = !now })
	}
	if _, exact := p.exact(); len(q.State.Rows) > 0 && !exact {
		both("rows", p.v.Text("inchair.rows.all"), p.v.Text("inchair.rows.small", "n", smaller+1), p.view.close, func(on bool) { p.view.close = on })
	}
	if _, measured := trueScale(p.d.Settings.Now()); measured {
		both("size", p.v.Text("inchair.true"), p.v.Text("inchair.larger"), p.view.larger, func(on bool) { p.view.larger = on })
	}
	return out
}

// ways are the ways to look at the picture.
func (p *page) ways(q *asked.Question, c *ui.Column) {
	keys := p.looks(q)
	if len(keys) == 0 {
		return
	}
	c.Y = board{p}.draw(keys, c.X, c.Y, c.W)
	c.Gap(10)
}

func chosen(is bool) ui.Look {
	if is {
		return ui.Selected
	}
	return ui.Plain
}
