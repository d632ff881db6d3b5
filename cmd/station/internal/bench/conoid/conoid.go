// Package conoid draws the strip at the foot of the bench: both focal lines, the
// circle of least confusion and the retina on a ruler in dioptres.
package conoid

import (
	"strings"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render"
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
	h := u.Para(in.X, in.Y, in.W, head+" "+text(v, w.Residual, w.Accommodation), ui.Note)
	_, in = in.CutTop(h + 2)
	ruler(u, v, in, w.Residual)
}

// text says what the picture shows.
func text(v voice.Voice, residual optics.Power, focus float64) string {
	var parts []string
	front, back := residual.FocalLines()
	if render.Point(residual) {
		parts = append(parts, v.Text("bench.conoid.point", "place", render.Place(residual.M)))
	} else {
		parts = append(parts, v.Text("bench.conoid.lines", "front", render.Place(front.Power), "frontline", label(front),
			"back", render.Place(back.Power), "backline", label(back)))
	}
	if focus > render.Stigmatic {
		parts = append(parts, v.Text("bench.conoid.focus", "power", fact.Amount(focus)))
	}
	return strings.Join(parts, " ")
}

// label is the label of the chart's line that runs as a focal line does.
func label(l optics.FocalLine) fact.Degrees {
	return fact.Degrees(shape.Whole(chart.LabelOf(optics.PatientAngle(l.Angle))))
}

// ruler draws the strip itself.
func ruler(u *ui.UI, v voice.Voice, r paper.Rect, residual optics.Power) {
	sc, t := u.Scene(), u.Theme
	foot := r.Bottom() - u.LineHeight(ui.Small)
	s := render.NewStrip(residual, r.X+20, r.Right()-20, r.Y+2, foot-2, 26*u.Text)
	marks(u, v, r, s, foot)
	// The rays of the two meridians, from the lens on the left.
	sc.Line(s.X(s.Reach), s.Mid-s.Half, s.X(s.Front.Power), s.Mid, 1, t.Edge)
	sc.Line(s.X(s.Reach), s.Mid+s.Half, s.X(s.Front.Power), s.Mid, 1, t.Edge)
	middle := paper.Point{X: s.X(residual.M), Y: s.Mid}
	if s.Point() {
		shape.Disc(sc, middle, 5, t.Act)
		return
	}
	shape.Circle(sc, middle, s.Least(), 1.5, t.Quiet)
	for _, l := range []optics.FocalLine{s.Front, s.Back} {
		from, to := s.Stroke(l)
		sc.Line(from[0], from[1], to[0], to[1], 4, t.Act)
	}
}

// marks draws the scale with its figures, and the retina.
func marks(u *ui.UI, v voice.Voice, r paper.Rect, s render.Strip, foot float64) {
	sc, t, lh := u.Scene(), u.Theme, u.LineHeight(ui.Small)
	sc.Line(s.X(s.Reach), foot, s.X(-s.Reach), foot, 1, t.Edge)
	for _, tick := range s.Ticks(30 * u.Text) {
		x := s.X(tick.Power)
		sc.Line(x, foot-3, x, foot, 1, t.Edge)
		if tick.Named {
			u.Words(paper.Rect{X: x - 30, Y: foot, W: 60, H: lh}, v.Value(fact.Turn(tick.Power)), ui.Note, ui.Middle)
		}
	}
	sc.Line(s.X(0), r.Y, s.X(0), foot, 3, t.Ink)
	u.Words(paper.Rect{X: s.X(0) - 60, Y: foot, W: 120, H: lh}, v.Text("bench.conoid.retina"), ui.SmallBold, ui.Middle)
}
