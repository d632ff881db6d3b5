// Package conoid draws the strip at the foot of the bench: both focal lines, the
// circle of least confusion and the retina on a ruler in dioptres.
package conoid

import (
	"image/color"
	"math"
	"strings"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Height is the height of the strip at a text size of 100 %.
const Height = 116

// View is what is to be drawn.
type View struct {
	Eye           sitting.Side
	Open          bool         // the eye sees something
	Residual      optics.Power // at the cornea, lens less error
	Accommodation float64      // dioptres
}

// Of is the view of the eye that is watched.
func Of(in sight.Insight, tested sitting.Side, st sitting.State) View {
	side := sight.Watched(in, tested, st)
	seen, open := in.Sees(side, st.Frames[side.Index()])
	w := View{Eye: side, Open: open, Accommodation: in.Accommodation()}
	if open {
		w.Residual = seen.Left
	}
	return w
}

// Draw draws the strip. The strokes run as the patient sees the chart.
func Draw(u *ui.UI, v voice.Voice, r paper.Rect, w View) {
	sc := u.Scene()
	sc.Box(r, 0, u.Theme.Sheet)
	sc.Box(paper.Rect{X: r.X, Y: r.Y, W: r.W, H: 1}, 0, u.Theme.Rule)
	in := paper.Rect{X: r.X + 16, Y: r.Y + 6, W: r.W - 32, H: r.H - 12}
	head := v.Text("bench.conoid.title", "eye", v.Capital(v.Text("eye."+string(w.Eye))))
	if !w.Open {
		u.Para(in.X, in.Y, in.W, head+" "+v.Text("bench.view.dark"), ui.Note)
		return
	}
	front, back := w.Residual.FocalLines()
	h := u.Para(in.X, in.Y, in.W, head+" "+text(v, front, back, w.Accommodation), ui.Note)
	_, in = in.CutTop(h + 2)
	ruler(u, v, in, w.Residual)
}

// met is the difference in dioptres below which both focal lines are drawn as
// one.
const met = 0.06

// text says what the picture shows.
func text(v voice.Voice, front, back optics.FocalLine, focus float64) string {
	var parts []string
	if front.Power-back.Power < met {
		parts = append(parts, v.Text("bench.conoid.point", "place", place(v, front.Power)))
	} else {
		parts = append(parts, v.Text("bench.conoid.lines", "front", place(v, front.Power), "frontline", label(front),
			"back", place(v, back.Power), "backline", label(back)))
	}
	if focus > met {
		parts = append(parts, v.Text("bench.conoid.focus", "power", fact.Amount(focus)))
	}
	return strings.Join(parts, " ")
}

// label is the label of the chart's line that runs as a focal line does.
func label(l optics.FocalLine) fact.Degrees {
	return fact.Degrees(shape.Whole(chart.LabelOf(optics.PatientAngle(l.Angle))))
}

// place is where something lies before or behind the retina.
func place(v voice.Voice, d float64) string {
	amount := fact.Amount(math.Round(math.Abs(d)*100) / 100)
	switch {
	case amount < 0.03:
		return v.Text("bench.conoid.on")
	case d > 0:
		return v.Text("bench.conoid.before", "power", amount)
	}
	return v.Text("bench.conoid.behind", "power", amount)
}

// strip is the place of the ruler and its scale.
type strip struct {
	r         paper.Rect
	reach     float64 // dioptres from the retina to either end
	foot, mid float64
	half      float64 // half the height of a line
}

// x is the place of a power: light comes from the left.
func (s strip) x(d float64) float64 {
	return s.r.X + s.r.W/2 - d/s.reach*(s.r.W/2-20)
}

// ruler draws the strip itself.
func ruler(u *ui.UI, v voice.Voice, r paper.Rect, residual optics.Power) {
	sc, t := u.Scene(), u.Theme
	front, back := residual.FocalLines()
	s := strip{r: r, foot: r.Bottom() - u.LineHeight(ui.Small)}
	s.reach = max(2, math.Ceil(max(math.Abs(front.Power), math.Abs(back.Power))+0.4))
	s.mid = (r.Y + s.foot) / 2
	s.half = min((s.foot-r.Y)/2-2, 26*u.Text)
	marks(u, v, s)
	// The rays of the two meridians, from the lens on the left.
	sc.Line(s.x(s.reach), s.mid-s.half, s.x(front.Power), s.mid, 1, t.Edge)
	sc.Line(s.x(s.reach), s.mid+s.half, s.x(front.Power), s.mid, 1, t.Edge)
	least := max(2, s.half*min(1, (front.Power-back.Power)/2/s.reach))
	shape.Circle(sc, paper.Point{X: s.x(residual.M), Y: s.mid}, least, 1.5, t.Quiet)
	for _, l := range []optics.FocalLine{front, back} {
		focalLine(sc, s, l, front.Power-back.Power < met, t.Accent)
	}
}

// focalLine draws a focal line as the patient sees the chart's lines.
func focalLine(sc *paper.Scene, s strip, l optics.FocalLine, point bool, col color.NRGBA) {
	phi := optics.PatientAngle(l.Angle) * math.Pi / 180
	dx, dy := s.half*math.Cos(phi), s.half*math.Sin(phi)
	if point {
		dx, dy = 1, 0
	}
	sc.Line(s.x(l.Power)-dx, s.mid+dy, s.x(l.Power)+dx, s.mid-dy, 4, col)
}

// marks draws the scale with its figures, and the retina.
func marks(u *ui.UI, v voice.Voice, s strip) {
	sc, t, lh := u.Scene(), u.Theme, u.LineHeight(ui.Small)
	step := 0.5
	if s.reach > 4 {
		step = math.Ceil(s.reach / 8)
	}
	sc.Line(s.x(s.reach), s.foot, s.x(-s.reach), s.foot, 1, t.Edge)
	for d := -math.Floor(s.reach/step) * step; d <= s.reach; d += step {
		sc.Line(s.x(d), s.foot-3, s.x(d), s.foot, 1, t.Edge)
		if d == math.Round(d) && math.Abs(s.x(d)-s.x(0)) > 30*u.Text {
			u.Words(paper.Rect{X: s.x(d) - 30, Y: s.foot, W: 60, H: lh}, v.Value(fact.Turn(d)), ui.Note, ui.Middle)
		}
	}
	sc.Line(s.x(0), s.r.Y, s.x(0), s.foot, 3, t.Ink)
	u.Words(paper.Rect{X: s.x(0) - 60, Y: s.foot, W: 120, H: lh}, v.Text("bench.conoid.retina"), ui.SmallBold, ui.Middle)
}
