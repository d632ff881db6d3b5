// Package conoid draws the chamber in which light is focused: both bundles with their
// focal lines, the circle of least confusion between them, the retina on a ruler in
// dioptres, and the patch that one point becomes.
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

// Height is the least height of the chamber at a text size of 100 %, and Tall one at
// which it has its names below the light.
const (
	Height = 116
	Tall   = 200
)

// Shut is why the conoid is not to be seen.
type Shut uint8

// The reasons.
const (
	Open    Shut = iota
	Dark         // no eye sees anything
	Guess        // the student has yet to say what they expect
	Without      // the student does without: to open it is a hint
)

// View is what is to be drawn.
type View struct {
	Eye           sitting.Side // empty: nobody's, to play with
	Shut          Shut
	Residual      optics.Power // at the cornea, lens less error
	Accommodation float64      // dioptres
	Reach, Behind float64      // where the ruler ends, dioptres before and behind the retina; 0: as the lines ask for
	Grips         bool         // the lines can be taken; then there is no patch beside them
}

// Of is the view of the eye that is watched.
func Of(in sight.Insight, tested sitting.Side, st sitting.State) View {
	side := sight.Watched(in, tested, st)
	seen, open := in.Sees(side, st.Frames[side.Index()])
	if !open {
		return View{Eye: side, Shut: Dark}
	}
	return View{Eye: side, Residual: seen.Left, Accommodation: in.Accommodation()}
}

// Draw draws the chamber and gives the plan that it was drawn by. The lines run as the
// patient sees the chart.
func Draw(u *ui.UI, v voice.Voice, r paper.Rect, w View) render.Strip {
	if w.Shut != Open {
		shutter(u, v, r, w.Shut)
		return render.Strip{}
	}
	c := lay(u, v, r, w)
	c.draw()
	u.Image(v.Text("bench.tab.conoid"), text(v, w.Residual, w.Accommodation), r)
	return c.Strip
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
func label(l optics.FocalLine) fact.Label {
	return fact.Label(shape.Whole(chart.LabelOf(render.Runs(l))))
}

// state says in a few words where the lines lie, as the student fogs and balances.
func state(v voice.Voice, residual optics.Power) string {
	front, back := residual.FocalLines()
	on := func(d float64) bool { return render.Place(d).ID == "place.on" }
	id := "bench.conoid.between"
	switch {
	case render.Point(residual) && on(residual.M):
		id = "bench.conoid.nothing"
	case render.Point(residual):
		id = "bench.conoid.together"
	case back.Power > 0 || on(back.Power):
		id = "bench.conoid.fogged"
	case front.Power < 0 || on(front.Power):
		id = "bench.conoid.behind"
	}
	return v.Text(id)
}
