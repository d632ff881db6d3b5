package wall

import (
	"fmt"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/chart"
	"conoid/sim/fact"
)

// The grip of the curtain as it is drawn, and as it is hit.
const gripWide, gripHigh, gripHit = 22, 52, 44

// curtain lets the curtain be drawn by its edge; it reports whether that has
// the pointer.
func curtain(u *ui.UI, v voice.Voice, w View, r paper.Rect, edge float64, out *wish.List) bool {
	sc := u.Scene()
	sc.Box(paper.Rect{X: edge - 1.5, Y: r.Y, W: 3, H: r.H}, 0, dark)
	knob := paper.Rect{X: edge - gripWide/2, Y: r.Centre().Y - gripHigh/2, W: gripWide, H: gripHigh}
	sc.Box(knob, gripWide/2, dark)
	for _, d := range []float64{-4, 0, 4} {
		sc.Line(edge+d, r.Centre().Y-9, edge+d, r.Centre().Y+9, 1.5, light)
	}
	hit := paper.Rect{X: edge - gripHit/2, Y: knob.Y, W: gripHit, H: gripHigh}
	g := u.Grip("curtain", v.Text("bench.wall.curtain"), fmt.Sprintf("%.0f %%", 100*w.Curtain), hit, nil)
	within := func(share float64) float64 { return min(max(share, 0.02), 0.98) }
	switch {
	case g.Held:
		out.Add(wish.Curtain{To: within((g.At.X - r.X) / r.W)})
	case g.Freed:
		out.Add(wish.Curtain{To: w.Curtain, Keep: true})
	case g.Turn != 0:
		out.Add(wish.Curtain{To: within(w.Curtain + float64(g.Turn)/100), Keep: true})
	}
	u.Ring("curtain", knob)
	return g.Over || g.Held
}

// turn lets the arrow, and with it the blocks, be turned, unless another part
// has the pointer.
func turn(u *ui.UI, v voice.Voice, w View, r paper.Rect, taken bool, out *wish.List) {
	g := u.Grip("arrow", v.Text("bench.wall.pointer"), v.Value(fact.Label(w.Pointer)), r, func(paper.Point) bool { return !taken })
	// The angle in the patient's view, which is how the wall is drawn.
	angle := shape.Degrees(r.Centre(), g.At)
	switch {
	case g.Taken:
		out.Add(wish.Hold{Turning: wish.Turning{Arrow: true, Grab: chart.AngleOf(float64(w.Pointer)) - angle, To: w.Pointer}})
	case g.Freed && w.Held != nil:
		out.Add(wish.Release{})
	case g.Held && w.Held != nil:
		held := *w.Held
		held.To = shape.Whole(chart.LabelOf(angle + held.Grab))
		out.Add(wish.Hold{Turning: held})
	case g.Turn != 0:
		out.Add(wish.Point(shape.Folded(w.Pointer + g.Turn)))
	}
	u.Ring("arrow", r)
}
