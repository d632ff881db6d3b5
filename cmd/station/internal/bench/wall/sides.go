package wall

import (
	"image/color"
	"math"

	"conoid/cmd/internal/expect"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/patient"
)

type colour = color.NRGBA

// side is one of two marks that are compared, and where it can be pressed.
type side struct {
	kind patient.Kind
	at   paper.Rect
}

// colourWide is how much of either half of the duochrome is pressed, minutes of arc.
const colourWide = 62

// sidesOf are the two marks of a chart, in the order in which they are listed.
func sidesOf(w View, q patient.Question, marks []chart.Line, r paper.Rect) (out []side) {
	if len(marks) != 2 {
		return nil
	}
	at, k := w.place(r)
	kinds := expect.Kinds(q)
	for i, kind := range []patient.Kind{kinds[0], kinds[2]} {
		m, half := at(spot(marks, i)), 22.0
		switch q {
		case patient.WhichBlock:
			half = max(half, marks[i].Length*k*0.62)
		case patient.WhichColour: // all of its light
			m.Y, half = r.Centre().Y, max(half, colourWide*k/2)
			out = append(out, side{kind, paper.Rect{X: m.X - half, Y: r.Y + 2, W: 2 * half, H: r.H - 4}})
			continue
		}
		out = append(out, side{kind, paper.Rect{X: m.X - half, Y: m.Y - half, W: 2 * half, H: 2 * half}})
	}
	return out
}

// spot is a place on a mark that is not on the other: the middle of a block, the outer end of
// a limb.
func spot(marks []chart.Line, i int) chart.Point {
	m, other := marks[i], marks[1-i].Centre
	if m.Bars > 1 {
		return m.Centre
	}
	sin, cos := math.Sincos(m.Angle * math.Pi / 180)
	best, far := m.Centre, 0.0
	for _, s := range []float64{-0.5, 0.5} {
		p := chart.Point{X: m.Centre.X + s*m.Length*cos, Y: m.Centre.Y + s*m.Length*sin}
		if d := math.Hypot(p.X-other.X, p.Y-other.Y); d > far {
			best, far = p, d
		}
	}
	return best
}

// sides lets one of two marks be pressed.
func sides(u *ui.UI, v voice.Voice, w View, r paper.Rect, out *wish.List) {
	g := w.Guessing
	for _, s := range sidesOf(w, g.Ask.Question, g.Marks, r) {
		if u.Sign(true, "expect side "+string(s.kind), s.at, "", v.Examiner().Expected(string(s.kind)), ui.Bare) {
			out.Add(wish.Guess{Ask: g.Ask, Guess: expect.Guess{Kind: s.kind}})
		}
		u.Scene().Frame(s.at, 10, 2, mine)
	}
}
