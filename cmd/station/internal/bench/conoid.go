package bench

import (
	"fmt"
	"math"
	"strings"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/chart"
	"conoid/sim/optics"
)

// footHeight is the height of the conoid's strip at a text size of 100 %.
const footHeight = 116

// drawConoid draws both focal lines, the circle of least confusion and the
// retina on a ruler in dioptres. The strokes run as the patient sees the chart.
func (a *App) drawConoid(r paper.Rect) {
	u := a.ui
	sc := u.Scene()
	sc.Box(r, 0, u.Theme.Sheet)
	sc.Box(paper.Rect{X: r.X, Y: r.Y, W: r.W, H: 1}, 0, u.Theme.Rule)
	in := paper.Rect{X: r.X + 16, Y: r.Y + 6, W: r.W - 32, H: r.H - 12}
	side, f := a.watched()
	seen, open := a.seat.s.Sees(side, f)
	head := a.l("conoid.title", sentenceCase(a.eye(string(side))))
	if !open {
		u.Para(in.X, in.Y, in.W, head+" "+a.l("view.dark"), ui.Note)
		return
	}
	residual := seen.Pupil.Residual
	front, back := residual.FocalLines()
	text := head + " " + a.conoidText(front, back, a.seat.s.Accommodation())
	h := u.Para(in.X, in.Y, in.W, text, ui.Note)
	_, in = in.CutTop(h + 2)
	a.ruler(in, residual, front, back)
}

// conoidText says what the picture shows.
func (a *App) conoidText(front, back optics.FocalLine, focus float64) string {
	var parts []string
	if front.Power-back.Power < 0.06 {
		parts = append(parts, a.l("conoid.point", a.place(front.Power)))
	} else {
		parts = append(parts,
			a.l("conoid.lines", a.place(front.Power), labelled(front), a.place(back.Power), labelled(back)))
	}
	if focus > 0.06 {
		parts = append(parts, a.l("conoid.focus", fmt.Sprintf("%.2f", focus)))
	}
	return strings.Join(parts, " ")
}

// labelled is the label of the chart's line that runs as a focal line does.
func labelled(l optics.FocalLine) string {
	return fmt.Sprint(whole(chart.LabelOf(optics.PatientAngle(l.Angle))))
}

// place is where something lies before or behind the retina.
func (a *App) place(d float64) string {
	v := math.Round(math.Abs(d)*100) / 100
	switch {
	case v < 0.03:
		return a.l("conoid.on")
	case d > 0:
		return a.l("conoid.before", fmt.Sprintf("%.2f", v))
	}
	return a.l("conoid.behind", fmt.Sprintf("%.2f", v))
}

// ruler draws the strip itself: light comes from the left.
func (a *App) ruler(r paper.Rect, residual optics.Power, front, back optics.FocalLine) {
	u, t := a.ui, a.ui.Theme
	sc := u.Scene()
	reach := max(2, math.Ceil(max(math.Abs(front.Power), math.Abs(back.Power))+0.4))
	x := func(d float64) float64 { return r.X + r.W/2 - d/reach*(r.W/2-20) }
	lh := u.LineHeight(ui.Small)
	foot := r.Bottom() - lh
	mid := (r.Y + foot) / 2
	half := min((foot-r.Y)/2-2, 26*u.Text)
	step := 0.5
	if reach > 4 {
		step = math.Ceil(reach / 8)
	}
	sc.Line(x(reach), foot, x(-reach), foot, 1, t.Edge)
	for d := -math.Floor(reach/step) * step; d <= reach; d += step {
		sc.Line(x(d), foot-3, x(d), foot, 1, t.Edge)
		if d == math.Round(d) && math.Abs(x(d)-x(0)) > 30*u.Text {
			u.Words(paper.Rect{X: x(d) - 30, Y: foot, W: 60, H: lh}, trueMinus(fmt.Sprintf("%+.0f", d)), ui.Note, ui.Middle)
		}
	}
	sc.Line(x(0), r.Y, x(0), foot, 3, t.Ink)
	u.Words(paper.Rect{X: x(0) - 60, Y: foot, W: 120, H: lh}, a.l("conoid.retina"), ui.SmallBold, ui.Middle)
	// The rays of the two meridians, from the lens on the left.
	sc.Line(x(reach), mid-half, x(front.Power), mid, 1, t.Edge)
	sc.Line(x(reach), mid+half, x(front.Power), mid, 1, t.Edge)
	var ring paper.Path
	ring.Circle(paper.Point{X: x(residual.M), Y: mid}, max(2, half*min(1, (front.Power-back.Power)/2/reach)))
	sc.Stroke(&ring, 1.5, t.Quiet)
	for _, l := range []optics.FocalLine{front, back} {
		phi := optics.PatientAngle(l.Angle) * math.Pi / 180
		dx, dy := half*math.Cos(phi), half*math.Sin(phi)
		if front.Power-back.Power < 0.06 {
			dx, dy = 1, 0
		}
		sc.Line(x(l.Power)-dx, mid+dy, x(l.Power)+dx, mid-dy, 4, t.Accent)
	}
}

// trueMinus writes the sign that readers expect.
func trueMinus(s string) string { return strings.ReplaceAll(s, "-", "−") }
