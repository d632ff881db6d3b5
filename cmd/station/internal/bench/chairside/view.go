package chairside

import (
	"conoid/cmd/internal/chair"
	"conoid/cmd/station/internal/bench/conoid"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/bench/sight"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/render"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Hands are what the user does with their hands just now.
type Hands struct {
	turning *wish.Turning // a cylinder or an arrow that is being turned
	cell    optics.Cell   // the cell whose lens the hand is on
	lifts   wish.Hand     // what lies at hand to be held up
	sliding sliding
	near    bool // leaning in to the frame, where the wall has to give way to it
	peeps   peeps
	sees    sees
}

// Lean leans in to the frame, or back.
func (h *Hands) Lean(w wish.Lean) { h.near = !w.Back }

// Eyes show what the patient sees; nil insight shows nothing of it.
type Eyes struct {
	insight chair.Insight
	eye     sight.Eye
	glides  [2]conoid.Glide // of either eye's lines
	rulers  [2]render.Ruler // and of where theirs ends
	then    sight.Eye       // the same before the last change
	past    past
}

// NewEyes are the eyes of a sitting whose truth is at hand.
func NewEyes(in chair.Insight) Eyes { return Eyes{insight: in} }

// Look makes the view of a chair, but for its bar.
func (e *Eyes) Look(d *desk.Desk, c chair.Chair, h *Hands) View {
	v, s, b, st := d.Voice(), d.Settings.Now(), c.Brief(), c.State()
	v = v.By(b.Room.Labels)
	w := View{
		Person: face.Of(face.Who{ID: b.ID, Title: b.Title, Name: b.Name, Age: b.Age}),
		Talk:   talk.Of(v, b, c.Talk()), Notice: d.Notice.In(v),
		Nose: h.nose(d, b, st), Left: s.Left, Narrow: d.Narrow(),
	}
	h.peeps.on(st.Chart)
	if e.insight != nil {
		e.past.look(e.insight, b.Tested, st.Frames[b.Tested.Index()])
	}
	shown := st
	shown.Frames = w.Nose.Frames
	w.Wall = wall.View{
		Who: b.Name, Labels: b.Room.Labels, Rows: st.Rows, Peeps: h.peeps.shown(e.past.changed),
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
		e.see(d, &w, h.sees.curtain(d, s.Curtain), b.Tested, shown)
		if !s.NoConoid {
			strip := conoid.Of(e.insight, b.Tested, shown)
			e.rule(&strip)
			e.glide(d, &strip)
			w.Conoid = &strip
		}
	}
	return w
}

// rule has the ruler stay where it is, if it can.
func (e *Eyes) rule(w *conoid.View) {
	if w.Shut != conoid.Open {
		return
	}
	r := &e.rulers[w.Eye.Index()]
	*r = r.For(w.Residual)
	w.Reach, w.Behind = r.Reach, r.Behind
}

// glide has the lines glide to where they belong.
func (e *Eyes) glide(d *desk.Desk, w *conoid.View) {
	if w.Shut != conoid.Open {
		return
	}
	now, moves := e.glides[w.Eye.Index()].Toward(w.Residual, d.At, d.Settings.Now().Still)
	if w.Residual = now; moves {
		d.UI.Again()
	}
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

// see draws the curtain, and the patient's view if it is to be seen: as it is, or as it
// would be with the lenses before the last change.
func (e *Eyes) see(d *desk.Desk, w *View, curtain float64, tested sitting.Side, st sitting.State) {
	w.Wall.Sight, w.Wall.Curtain = true, curtain
	inView := curtain < 1
	if wall.Swaps(w.Wall.Name) {
		inView = w.Wall.Peeps.View || w.Wall.Peeps.Before
	}
	if !inView || w.Wall.Name == chart.NoChart {
		return
	}
	eye, in := &e.eye, sight.Insight(e.insight)
	if w.Wall.Peeps.Before {
		eye, in, st.Frames[tested.Index()] = &e.then, e.past.before, e.past.before.frame
	}
	w.Wall.Seen = eye.Follow(d.Work, in, sight.Watched(in, tested, st), st, w.Wall.Chart, w.Wall.Window)
	w.Wall.Coming = w.Wall.Seen == nil || w.Wall.Seen.Changing
}

// nose is the view of the frame.
func (h *Hands) nose(d *desk.Desk, b chair.Brief, st sitting.State) nose.View {
	n := nose.View{
		Tested: b.Tested, Frames: st.Frames, Covered: st.Covered, Vertex: b.Room.Vertex, Set: b.Room.Set,
		Stands: st.Frames[b.Tested.Index()], Hand: h.cell, Lid: d.Lid(), Lifts: h.lifts, Pointer: st.Pointer, Leans: d.Narrow(), Near: h.near,
		Person: face.Of(face.Who{ID: b.ID, Title: b.Title, Name: b.Name, Age: b.Age}),
	}
	if t := h.turning; t != nil && !t.Arrow {
		l := &n.Frames[b.Tested.Index()].Lenses[t.Cell]
		if t.Lifted {
			l = &n.Frames[b.Tested.Index()].Held
		}
		l.Axis, n.Held = float64(t.To), t
	}
	n.Slid[h.sliding.cell] = h.sliding.slid(d)
	return n
}
