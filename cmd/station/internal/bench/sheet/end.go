package sheet

import (
	"image/color"
	"math"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// End is the form of the end point.
type End struct {
	rx, acuity string // as they are written
	vertex     int    // mm; 0 until it is stated
	refused    error
}

// NewEnd is the form with what stands in the frame, and the acuity that was
// read through it.
func NewEnd(v voice.Voice, f optics.Frame, events []sitting.Event) *End {
	e := &End{rx: notation(v, f.Prescription())}
	if logMAR, ok := lastAcuity(events); ok {
		e.acuity = v.Value(fact.Row(logMAR))
	}
	return e
}

// notation is a refraction as the language writes it, where that can be read
// back.
func notation(v voice.Voice, rx optics.Rx) string {
	text := v.Value(rx)
	if _, err := optics.ParseRx(text); err != nil {
		return rx.ASCII()
	}
	return text
}

// lastAcuity is what was read last, through the lenses that stand there now.
func lastAcuity(events []sitting.Event) (logMAR float64, ok bool) {
	for i := len(events) - 1; i >= 0; i-- {
		e := events[i]
		switch e.Action.Do {
		case sitting.Put, sitting.Take, sitting.Exchange, sitting.Turn:
			return 0, false
		case sitting.Ask:
			if e.Answer.Kind == patient.Read && e.Action.Size == nil {
				return e.Answer.LogMAR, true
			}
		}
	}
	return 0, false
}

// Draw implements Sheet.
func (e *End) Draw(d *desk.Desk, w View, out *wish.List) desk.Next {
	v, before := d.Voice(), len(*out)
	closed := d.UI.Dialog("end point", v.Text("bench.end.title"), v.Text("bench.end.back"), 620, func(c *ui.Column) {
		if w.Who != "" { // the form may lie over the bar
			c.Para(w.Who, ui.Quiet)
		}
		desk.ShowNotice(d.UI, c, desk.Said{Text: w.Warning, Style: ui.Refusal})
		c.Para(v.Text("bench.end.about"), ui.Quiet)
		c.Gap(8)
		rx, err := optics.ParseRx(e.rx)
		if err == nil {
			e.windows(d.UI, v, c, &rx)
		} else {
			c.Para(v.Sentence(v.Error(err)), ui.Refusal)
			c.Gap(6)
		}
		desk.Entry(d.UI, c, "end rx", v.Text("bench.end.rx"), &e.rx)
		if err == nil && high(rx) {
			e.drawVertex(v, c)
		}
		e.drawAcuity(d.UI, v, c)
		if e.refused != nil {
			c.Para(v.Sentence(v.Error(e.refused)), ui.Refusal)
			c.Gap(6)
		}
		c.Flow(func(f *ui.Flow) {
			if f.ButtonIf(err == nil, "end now", v.Text("bench.end.now"), ui.Primary) {
				e.state(w.Brief.Room.Vertex, out)
			}
		})
	})
	return closeIf(closed || len(*out) > before)
}

// highPower is where the vertex distance begins to matter, dioptres: common
// practice.
const highPower = 5

// high reports whether the vertex distance matters.
func high(rx optics.Rx) bool {
	p := rx.Power()
	return math.Abs(p.M)+p.Astigmatism() > highPower
}

// windows are the three figures of a prescription in the order in which they are written,
// each with what makes it less or more; one below another where there is little room.
func (e *End) windows(u *ui.UI, v voice.Voice, c *ui.Column, rx *optics.Rx) {
	was := *rx
	axis := v.Text("bench.lens.none")
	if rx.Cyl != 0 {
		axis = v.Value(fact.Degrees(rx.Axis))
	}
	boxes := windowsIn(u, c)
	rx.Sphere += 0.25 * float64(window(u, boxes[0], "end sphere", v.Text("bench.end.sphere"), Dioptres(v, rx.Sphere), u.Theme.Ink))
	rx.Cyl += 0.25 * float64(window(u, boxes[1], "end cyl", v.Text("bench.end.cyl"), Dioptres(v, rx.Cyl), u.Theme.Blue))
	by := window(u, boxes[2], "end axis", v.Text("bench.end.axis"), axis, u.Theme.Blue)
	switch {
	case rx.Cyl == 0:
		rx.Axis = 0
	case rx.Axis == 0:
		rx.Axis = 180
	default:
		rx.Axis = float64(shape.Folded(int(math.Round(rx.Axis)) + by))
	}
	if *rx != was {
		e.rx = notation(v, *rx)
		u.Again()
	}
}

// The least width of a window, and the height of its figure, logical pixels at a text size
// of 100 %.
const (
	windowWide = 164
	figureHigh = 44
)

// windowsIn are the places of the three.
func windowsIn(u *ui.UI, c *ui.Column) (boxes [3]paper.Rect) {
	k := u.Text
	high := u.LineHeight(ui.Small) + (figureHigh+14)*k
	if c.W < 3*windowWide*k+16 {
		for i := range boxes {
			boxes[i] = c.Block(high)
			c.Gap(8)
		}
		return boxes
	}
	r := c.Block(high)
	for i := range boxes {
		w := (r.W - 16) / 3
		boxes[i] = paper.Rect{X: r.X + float64(i)*(w+8), Y: r.Y, W: w, H: high}
	}
	c.Gap(10)
	return boxes
}

// window is one of the three; it gives by how many steps it is to change.
func window(u *ui.UI, r paper.Rect, id, label, value string, ink color.NRGBA) (by int) {
	k, t := u.Text, &u.Theme
	u.Scene().Box(r, 8, t.Sheet)
	u.Scene().Frame(r, 8, 1, t.Edge)
	head, row := r.CutTop(u.LineHeight(ui.Small) + 6*k)
	u.Label(head, label, ui.SmallBold, ui.Middle)
	row = paper.Rect{X: row.X + 6, Y: row.Y, W: row.W - 12, H: figureHigh * k}
	less, row := row.CutLeft(figureHigh * k)
	more, figure := row.CutRight(figureHigh * k)
	if u.Sign(true, id+" less", less, "−", u.Names.Less(label), ui.Bare) {
		by--
	}
	style := ui.Figure
	if u.Width(value, style) > figure.W {
		style = ui.Strong
	}
	u.Coloured(figure, value, style, ui.Middle, ink)
	if u.Sign(true, id+" more", more, "+", u.Names.More(label), ui.Bare) {
		by++
	}
	return by
}

// Dioptres is a power with its sign; zero has none.
func Dioptres(v voice.Voice, d float64) string {
	if math.Abs(d) < 0.005 {
		return v.Value(fact.Amount(0))
	}
	return v.Value(fact.Power(d))
}

// drawVertex asks for the vertex distance.
func (e *End) drawVertex(v voice.Voice, c *ui.Column) {
	value := v.Text("bench.end.vertex.none")
	if e.vertex > 0 {
		value = v.Text("bench.end.mm", "mm", e.vertex)
	}
	c.Para(v.Text("bench.end.vertex.about"), ui.Quiet)
	if by := c.Stepper("vertex", v.Text("bench.end.vertex"), value); by != 0 {
		if e.vertex == 0 {
			e.vertex = 12
		} else {
			e.vertex = min(max(e.vertex+by, 5), 20)
		}
	}
}

// usualAcuities are offered for a press, logMAR.
var usualAcuities = [...]float64{-0.1, 0, 0.1, 0.2, 0.3, 0.5, 0.7, 1}

func (e *End) drawAcuity(u *ui.UI, v voice.Voice, c *ui.Column) {
	desk.Entry(u, c, "end acuity", v.Text("bench.end.acuity"), &e.acuity)
	c.Flow(func(f *ui.Flow) {
		for _, row := range usualAcuities {
			label := v.Value(fact.Row(row))
			if f.Button("acuity "+patient.FormatAcuity(row), label, ui.Plain) {
				e.acuity = label
			}
		}
	})
	c.Para(v.Text("bench.end.acuity.about"), ui.Note)
	c.Gap(8)
}

// The strongest lenses that any trial set has, dioptres.
const mostSphere, mostCylinder = 20, 6

// state states the end point, if it makes sense, in a frame of a vertex
// distance in metres.
func (e *End) state(vertex float64, out *wish.List) {
	act, err := e.Standing(vertex)
	if e.refused = err; err == nil {
		out.Add(wish.Soon{Action: act})
	}
}

// Standing is the end point as the form has it, in a frame of a vertex distance in
// metres, or what is wrong with it.
func (e *End) Standing(vertex float64) (sitting.Action, error) {
	rx, err := optics.ParseRx(e.rx)
	if err != nil {
		return sitting.Action{}, err
	}
	if high(rx) && e.vertex == 0 {
		return sitting.Action{}, fact.Refuse("bench.end.vertex.needed")
	}
	acuity, err := patient.ParseAcuity(e.acuity)
	if err != nil {
		return sitting.Action{}, fact.Because(err, "bench.end.acuity.needed")
	}
	if math.Abs(rx.Sphere) > mostSphere || math.Abs(rx.Cyl) > mostCylinder {
		return sitting.Action{}, fact.Refuse("bench.end.range")
	}
	if stated := float64(e.vertex) / 1000; e.vertex > 0 && math.Abs(stated-vertex) > 1e-6 {
		rx = Moved(rx, stated, vertex)
	}
	return sitting.Action{Do: sitting.End, Rx: &rx, Acuity: acuity}, nil
}

// Moved is the lens at another vertex distance, metres, that does the same.
func Moved(rx optics.Rx, from, to float64) optics.Rx {
	return rx.Power().Travel(from - to).Rx().Round(0.01)
}
