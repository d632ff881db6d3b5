package chairside

import (
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/conoid"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Hands are what the user does with their hands just now.
type Hands struct {
	turning *wish.Turning // a cylinder or an arrow that is being turned
	cell    optics.Cell   // the cell whose lens the hand is on
	sliding sliding
}

// Eyes show what the patient sees; nil insight shows nothing of it.
type Eyes struct {
	insight chair.Insight
	eye     sight.Eye
}

// NewEyes are the eyes of a sitting whose truth is at hand.
func NewEyes(in chair.Insight) Eyes { return Eyes{insight: in} }

// Look makes the view of a chair, but for its bar.
func (e *Eyes) Look(d *desk.Desk, c chair.Chair, h *Hands) View {
	v, s, b, st := d.Voice(), d.Settings.Now(), c.Brief(), c.State()
	w := View{
		Talk: talk.Of(v, b, c.Talk()), Notice: d.Notice.Text(v),
		Nose: h.nose(d, b, st), Left: s.Left, Narrow: d.Narrow(),
	}
	shown := st
	shown.Frames = w.Nose.Frames
	w.Wall = wall.View{
		Pointer: st.Pointer, Stands: st.Pointer, Size: st.Size, Curtain: 1,
		Scale: wall.Scale{Card: s.Card, Viewing: s.Viewing}, Narrow: w.Narrow,
	}
	if t := h.turning; t != nil && t.Arrow {
		w.Wall.Pointer, w.Wall.Held, shown.Pointer = t.To, t, t.To
	}
	if chart, hangs := shown.Wall(b.Room.Labels); hangs {
		w.Wall.Name, w.Wall.Chart, w.Wall.Window = st.Chart, chart, sight.WindowOf(st.Chart, chart)
	}
	for _, p := range c.Pending() {
		w.pale(p.Action)
	}
	if e.insight != nil {
		e.see(&w, s.Curtain, b.Tested, shown)
		if !s.NoConoid {
			strip := conoid.Of(e.insight, b.Tested, shown)
			w.Conoid = &strip
		}
	}
	return w
}

// pale has what an action changed that is on its way drawn paler.
func (w *View) pale(act sitting.Action) {
	switch act.Do {
	case sitting.Show, sitting.Point:
		w.Wall.Pale = true
	case sitting.Cover, sitting.Uncover:
		w.Nose.Pale.Covered[act.Eye.Index()] = true
	case sitting.Hold:
		w.Nose.Pale.Held = true
	case sitting.Put, sitting.Exchange, sitting.Turn:
		cell, named := act.Cell.Cell()
		for i, l := range w.Nose.Stands.Lenses {
			if named && optics.Cell(i) == cell || !named && l == act.Lens {
				w.Nose.Pale.Lenses[i] = true
			}
		}
	}
}

// see draws the curtain, and the patient's view if it is to be seen.
func (e *Eyes) see(w *View, curtain float64, tested sitting.Side, st sitting.State) {
	w.Wall.Sight, w.Wall.Curtain = true, curtain
	if curtain < 1 && w.Wall.Name != chart.NoChart {
		p := e.eye.Look(e.insight, sight.Watched(e.insight, tested, st), st, w.Wall.Chart, w.Wall.Window)
		w.Wall.Seen = &p
	}
}

// nose is the view of the frame.
func (h *Hands) nose(d *desk.Desk, b chair.Brief, st sitting.State) nose.View {
	n := nose.View{
		Tested: b.Tested, Frames: st.Frames, Covered: st.Covered, Vertex: b.Room.Vertex, Set: b.Room.Set,
		Stands: st.Frames[b.Tested.Index()], Hand: h.cell, Narrow: d.Narrow(),
	}
	if t := h.turning; t != nil && !t.Arrow {
		n.Frames[b.Tested.Index()].Lenses[t.Cell].Axis = float64(t.To)
		n.Held = t
	}
	n.Slid[h.sliding.cell] = h.sliding.slid(d)
	return n
}
