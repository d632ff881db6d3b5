package chairside

import (
	"math"

	"conoid/cmd/station/internal/bench/conoid"
	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/bench/talk"
	"conoid/cmd/station/internal/bench/wall"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
)

// View is all that is to be drawn of a chair: the bar at the top, what is (the wall,
// the nose), what is said, and in practice what it means (the conoid).
type View struct {
	Bar    Bar
	Person face.Person
	Wall   wall.View
	Nose   nose.View
	Talk   talk.View
	Asking *talk.Asking // nil: nothing can be asked, as in a replay
	Notice desk.Said
	Conoid *conoid.View // nil: it is not to be seen
	Left   bool         // the lenses are on the left
	Waits  bool         // for an answer, or for anything that takes long
	Narrow bool
}

// led is what the guide advises, if somebody is led.
func (w View) led() *talk.Advice {
	if w.Asking == nil {
		return nil
	}
	return w.Asking.Advice
}

// Layout places the parts of a chair, and knows which of them are in view where not
// all can be.
type Layout struct {
	soFar bool // what was said so far is in the conoid's place
	free  bool // who is led asks something else
	since int  // events that there were then
	asks  bool // a question waits for what the student expects
	tab   tab
}

// frame is what the parts are drawn with.
type frame struct {
	*Layout
	u        *ui.UI
	v        voice.Voice
	d        *desk.Desk
	w        View
	controls func(c *ui.Column) // in the place of the questions; nil: there are none
	out      *wish.List
}

// Draw draws a chair. With controls, they are in the place of what can be asked.
func (l *Layout) Draw(d *desk.Desk, w View, controls func(c *ui.Column), out *wish.List) {
	f := frame{l, d.UI, d.Voice().By(w.Wall.Labels), d, w, controls, out}
	f.turn()
	switch d.Form() {
	case desk.Cross:
		f.cross()
	case desk.Upright, desk.Beside:
		narrow{f}.tabbed(d.Form() == desk.Beside)
	default:
		narrow{f}.stack()
	}
}

// cross draws the wall and the nose above the edge of the desk, and below it what is
// said and what it means.
func (f frame) cross() {
	g := f.grid()
	if f.w.Bar.draw(f.u, g.Bar, f.out) {
		f.w.Notice = desk.Said{}
	}
	f.u.Scene().Box(g.Desk, 0, f.u.Theme.Desk)
	f.u.Scene().Box(paper.Rect{Y: g.Desk.Y, W: g.Desk.W, H: 3}, 0, f.u.Theme.Wood)
	f.u.Region(f.v.Text("bench.region.wall"))
	wall.Rail(f.u, g.Rail)
	wall.Card(f.u, f.v, g.Box, f.w.Wall, f.out)
	f.notice(g.Box)
	if g.Rack.W > 0 {
		wall.Rack(f.u, f.v, g.Rack, f.w.Wall, f.out)
		wall.Sill(f.u, f.v, g.Sill, f.w.Wall, f.out)
	} else {
		f.sillWithCharts(g.Sill)
	}
	f.onNose(g)
	f.told(g)
}

// onNose draws what sits on the nose, or the portrait alone.
func (f frame) onNose(g Grid) {
	f.u.Region(f.v.Text("bench.region.lenses"))
	switch {
	case g.Split:
		nose.Portrait(f.u, f.v, g.Nose, f.w.Nose, f.out)
	case nose.Fits(f.u, f.v, g.Nose, f.w.Nose):
		nose.Draw(f.u, f.v, g.Nose, f.w.Nose, f.out)
	default:
		f.d.Column("nose", g.Nose, func(c *ui.Column) { f.nose(c, g.Nose.H-16) })
	}
}

// turn turns to what there is to see now: what was asked for came about, or a question
// waits for what the student expects.
func (f frame) turn() {
	l := f.Layout
	if asks := f.expecting() != nil; asks != l.asks {
		if l.asks = asks; asks {
			l.tab = askTab
			f.u.Focus(f.expecting().First())
		}
	}
	n := len(f.w.Talk.Entries)
	if n == l.since {
		return
	}
	if last := f.w.Talk.Last; n > l.since && last != nil && last.Guessed != "" && f.w.led() != nil {
		l.tab = conoidTab
		f.u.Focus("guide 0")
	}
	l.since, l.free = n, false
}

// expecting is the question that waits for what the student expects; nil for none.
func (f frame) expecting() *talk.Expecting {
	if f.w.Asking == nil {
		return nil
	}
	return f.w.Asking.Expecting
}

// sillWithCharts is the sill where there is no rack.
func (f frame) sillWithCharts(r paper.Rect) {
	if r.H > sillHigh {
		wall.SillInTwo(f.u, f.v, r, f.w.Wall, f.out)
		return
	}
	label := f.v.Text("bench.wall.charts")
	wide, _ := f.u.ButtonSize(label, r.W)
	place, rest := r.CutLeft(wide)
	if f.u.Button("charts", place, label, ui.Plain) {
		f.out.Add(wish.Show{Sheet: wish.Charts})
	}
	_, rest = rest.CutLeft(12)
	wall.Sill(f.u, f.v, rest, f.w.Wall, f.out)
}

// nose draws the nose in a column, with so much room in its height; none is any.
func (f frame) nose(c *ui.Column, room float64) {
	c.Y = nose.Draw(f.u, f.v, paper.Rect{X: c.X, Y: c.Y, W: c.W, H: room}, f.w.Nose, f.out)
}

// told draws what is said and what it means.
func (f frame) told(g Grid) {
	f.u.Region(f.v.Text("bench.region.talk"))
	t := ToldIn(g.Talk, f.u.Text, f.w.led() != nil || f.expecting() != nil)
	listed := !t.SoFar.Empty()
	hides := !listed && !g.Split && !f.aloneBeside(t)
	switch {
	case f.controls != nil:
		t, g.Side = f.controlled(g)
	case f.expecting() != nil:
		r := g.Talk
		if t.SoFar.X > r.X {
			r.W = t.SoFar.X - 24 - r.X
		} else {
			t.SoFar = paper.Rect{}
		}
		talk.Expect(f.u, f.v, r, *f.expecting(), f.out)
	case f.w.led() != nil:
		f.bubble(t, hides, true)
		f.slip(t)
	default:
		talk.Asks(f.u, f.v, t.Asks, *f.w.Asking, f.out)
		f.bubble(t, hides, false)
	}
	if g.Split {
		if !t.SoFar.Empty() {
			talk.SoFar(f.u, f.v, t.SoFar, f.w.Talk)
		}
		f.side(g.Side, listed)
		return
	}
	if f.aloneBeside(t) {
		f.besideAlone(g.Side)
		return
	}
	instead := t.SoFar.Empty() && (f.soFar || f.w.Conoid == nil)
	switch {
	case !t.SoFar.Empty():
		talk.SoFar(f.u, f.v, t.SoFar, f.w.Talk)
		fallthrough
	case !instead:
		if f.w.Conoid != nil {
			f.meaning(g.Side)
		}
	default:
		talk.SoFar(f.u, f.v, g.Side, f.w.Talk)
	}
}

// meaning draws the conoid. Where it is shut because the student does without, a press
// opens it.
func (f frame) meaning(r paper.Rect) {
	f.u.Region(f.v.Text("bench.region.conoid"))
	shut := f.w.Conoid.Shut == conoid.Without
	if shut && f.u.Sign(true, "open conoid", r, "", f.v.Text("bench.conoid.open"), ui.Bare) {
		f.out.Add(wish.Conoid{})
	}
	conoid.Draw(f.u, f.v, r, *f.w.Conoid)
}

// controlled draws the controls in the place of the talk. What was said so far is in what
// is left of it, or where that is too little, beside the conoid.
func (f frame) controlled(g Grid) (t Told, side paper.Rect) {
	high := min(g.Talk.H, 170)
	place, rest := g.Talk.CutTop(high)
	f.d.Column("ask", place, f.controls)
	_, rest = rest.CutTop(8)
	switch {
	case rest.H >= leastSoFar:
		t.SoFar = rest
	case f.w.Conoid != nil:
		t.SoFar, side = g.Side.CutLeft(math.Round(g.Side.W * 0.45))
		_, side = side.CutLeft(16)
		return t, side
	}
	return t, g.Side
}

// slip draws what the guide advises, or the questions in its place.
func (f frame) slip(t Told) {
	if f.free {
		talk.Asks(f.u, f.v, t.Asks, *f.w.Asking, f.out)
		return
	}
	talk.Slip(f.u, t.Led, *f.w.led(), f.out)
}

// The face beside the bubble, and the button at its end.
const (
	faceSmall, faceLarge = 56, 88
	asideWide            = 150
)

// bubble draws the newest answer with the face of who gave it. Under the face hides
// what was said so far, where that has no place of its own.
func (f frame) bubble(t Told, hides, led bool) {
	r := t.Answer
	d := float64(faceSmall)
	if r.H >= 110 {
		d = faceLarge
	}
	aside := 0.0
	if led && t.Aside.Overlaps(r) {
		aside = asideWide
	}
	b := talk.BubbleIn(r, max(d, f.u.Width(f.v.Text("bench.talk.sofar"), ui.Small)+4), aside)
	f.face(b.Face, hides)
	b.Draw(f.u, f.v, f.w.Talk, f.w.Asking.Waiting)
	if led {
		f.aside(t.Aside)
	}
}

// face draws who sits there; pressed, it shows what was said so far in the conoid's
// place.
func (f frame) face(r paper.Rect, hides bool) {
	lh := f.u.LineHeight(ui.Small)
	if !hides || f.w.Conoid == nil {
		f.portrait(r)
		return
	}
	label := f.v.Text("bench.talk.sofar")
	whole := paper.Rect{X: r.X, Y: r.Y - lh/2, W: r.W, H: r.H + lh}
	look := ui.Bare
	if f.soFar {
		look = ui.Selected
	}
	if f.u.Sign(true, "so far", whole, "", label, look) {
		f.soFar = !f.soFar
		f.u.Unsettle()
	}
	d := whole.H - lh - 8
	f.portrait(paper.Rect{X: whole.Centre().X - d/2, Y: whole.Y + 4, W: d, H: d})
	f.u.Words(paper.Rect{X: whole.X, Y: whole.Bottom() - lh - 2, W: whole.W, H: lh}, label, ui.Small, ui.Middle)
}

// aside draws what leads from the slip to the questions, and back.
func (f frame) aside(r paper.Rect) {
	label := f.v.Text("bench.coach.else")
	if f.free {
		label = f.v.Text("bench.coach.back")
	}
	if f.u.Button("something else", r, label, ui.Ghost) {
		f.free = !f.free
		f.u.Unsettle()
	}
}

// notice draws what was refused or told, over the card.
func (f frame) notice(card paper.Rect) {
	n := f.w.Notice
	if n.Text == "" {
		return
	}
	u := f.u
	wide := min(card.W-24, u.Width(n.Text, n.Style)+33)
	high := u.ParaHeight(n.Text, wide-32, n.Style) + 16
	r := paper.Rect{X: card.X + 12, Y: card.Bottom() - high - 44, W: wide, H: high}
	u.Scene().Box(r, 8, u.Theme.Sheet)
	u.Scene().Frame(r, 8, 2, n.Mark(&u.Theme))
	u.Para(r.X+16, r.Y+8, wide-32, n.Text, n.Style)
}

// portrait is who sits there, with the frame on and an eye covered as they are.
func (f frame) portrait(r paper.Rect) {
	face.Draw(f.u, r, f.w.Person, face.Opts{Frame: true, Covered: f.w.Nose.Covered, Lid: f.d.Lid()})
}
