package nose

import (
	"fmt"
	"math"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// liftAxis is where a cylinder is held up: where the one in the hand is, or where it was
// turned to, or else where the cylinder in the frame stands, or the arrow points.
func (n View) liftAxis() int {
	if held := n.frame().Held; held.Kind == optics.CylinderLens {
		return shape.Whole(held.Axis)
	}
	if n.Lifts.Axis > 0 {
		return n.Lifts.Axis
	}
	if cell, ok := n.Turnable(); ok {
		return shape.Whole(n.Stands.Lenses[cell].Axis)
	}
	return shape.Folded(n.Pointer)
}

// liftsCylinders reports whether cylinders lie at hand to be held up, or one is.
func (n View) liftsCylinders() bool {
	return n.Lifts.Cylinders && n.Stands.Held.Kind != optics.SphereLens || n.Stands.Held.Kind == optics.CylinderLens
}

// turnLift is what turns the cylinder that is held up, or is to be: lowered, turned and
// held up again.
func (n View) turnLift(axis int) wish.List {
	how := wish.Hand{Cylinders: true, Axis: shape.Folded(axis)}
	if held := n.Stands.Held; held.Kind == optics.CylinderLens {
		return wish.List{how, wish.Lower(), wish.HoldUp(optics.CylinderOf(held.Power, float64(how.Axis)))}
	}
	return wish.List{how}
}

// slotsOf are the places in a row of lenses to hold up, at least as wide as a finger.
const slotsOf = 6

// slot is the i-th of n places in a row.
func slot(r paper.Rect, i, n int) paper.Rect {
	w := r.W / float64(n)
	return paper.Rect{X: r.X + float64(i)*w, Y: r.Y, W: w, H: r.H}
}

// lifts is what is to be held up.
type lifts struct{ tray }

// spheres are the spheres to hold up, and what brings the cylinders.
func (p lifts) spheres(r paper.Rect) {
	for i, l := range p.n.Set.HandHeld() {
		p.lift(slot(r, i, slotsOf), "hold "+l.Code(), l)
	}
	some := optics.CylinderOf(p.n.Set.HeldCylinders()[0], float64(p.n.liftAxis()))
	p.other(slot(r, slotsOf-1, slotsOf), "hold cylinders", p.v.Text("bench.hand.cylinders"), some, wish.Hand{Cylinders: true})
}

// cylinders are the cylinders to hold up at an axis, what turns it, and what brings the
// spheres back. One degree at a time it is turned where there is room for that.
func (p lifts) cylinders(r paper.Rect) {
	by := []int{-5, 0, 5}
	powers := p.n.Set.HeldCylinders()
	if r.W >= float64(len(powers)+6)*44*p.u.Text {
		by = []int{-5, -1, 0, 1, 5}
	}
	n, axis := len(powers)+len(by)+1, p.n.liftAxis()
	for i, power := range powers {
		p.lift(slot(r, i, n), fmt.Sprintf("hold cylinder %+.2f", power), optics.CylinderOf(power, float64(axis)))
	}
	for i, d := range by {
		place := slot(r, len(powers)+i, n)
		place.H = min(place.H, 48*p.u.Text)
		if d == 0 {
			p.centred(place.Centre(), 16*p.u.Text, paper.Bold, fmt.Sprint(axis), p.u.Theme.Blue)
			continue
		}
		turn := fact.Turn(d)
		name := p.v.Text("bench.tray.of", "what", p.v.Text("bench.tray.turn", "turn", turn), "cell", p.v.Text("bench.hand.title"))
		if p.key(fmt.Sprintf("held axis %+d", d), place, p.v.Value(turn), name, true) {
			*p.out = append(*p.out, p.n.turnLift(axis+d)...)
		}
	}
	p.other(slot(r, n-1, n), "hold spheres", p.v.Text("bench.hand.spheres"), p.n.Set.HandHeld()[3], wish.Hand{})
}

// lift is a lens on its handle: one press raises it, another lowers it.
func (p lifts) lift(r paper.Rect, id string, l optics.Lens) {
	held := p.n.Stands.Held
	name := p.v.Text("bench.hand.hold", "power", spoken(l))
	if l == held {
		name = p.v.Text("bench.hand.lower", "power", spoken(l))
	}
	_, pressed := ui.Part(p.u, id, r, name, true, false)
	p.disc(r, l, l == held)
	p.u.Ring(id, r)
	if pressed {
		p.raise(l, held)
	}
}

// spoken is a lens as the words name it: a sphere by its power alone.
func spoken(l optics.Lens) any {
	if l.Kind == optics.CylinderLens {
		return l
	}
	return fact.Power(l.Power)
}

// other brings the other lenses to hold up; what is held of these is lowered.
func (p lifts) other(r paper.Rect, id, name string, l optics.Lens, how wish.Hand) {
	over, pressed := ui.Part(p.u, id, r, name, true, false)
	sc, k, t := p.u.Scene(), p.u.Text, &p.u.Theme
	r.H = min(r.H, 48*k)
	box := paper.Rect{X: r.X + 1, Y: r.Y, W: r.W - 2, H: r.H}
	if over {
		sc.Box(box, 8, t.Touch)
	}
	sc.Frame(box, 8, 1, t.Edge)
	c := box.Centre()
	for _, shift := range []float64{-6, 5} { // one behind another
		at := paper.Point{X: c.X + shift*k, Y: c.Y}
		shape.Disc(sc, at, 12*k, t.Sheet)
		shape.Disc(sc, at, 12*k, t.Glass)
		shape.Circle(sc, at, 12*k, 1.5, t.Steel)
		if l.Kind == optics.CylinderLens {
			a, b := shape.At(at, 11*k, l.Axis), shape.At(at, 11*k, l.Axis+180)
			sc.Line(a.X, a.Y, b.X, b.Y, 2, t.Blue)
		}
	}
	p.u.Ring(id, box)
	if !pressed {
		return
	}
	if p.n.Stands.Held != (optics.Lens{}) {
		p.out.Add(wish.Lower())
	}
	p.out.Add(how)
}

// liftable lets a cylinder that is held up be turned by its knob; it reports whether a
// place belongs to that.
func (p closeup) liftable() func(paper.Point) bool {
	held := p.n.frame().Held
	if held.Kind != optics.CylinderLens {
		return func(paper.Point) bool { return false }
	}
	axis := shape.Whole(held.Axis)
	knob := p.liftedKnob(held.Axis)
	hit := func(at paper.Point) bool { return math.Hypot(at.X-knob.X, at.Y-knob.Y) <= knobReach*p.k }
	side := knobReach * p.k
	box := paper.Rect{X: knob.X - side, Y: knob.Y - side, W: 2 * side, H: 2 * side}
	g := p.u.Grip("held cylinder", p.v.Text("bench.hand.axis"), fmt.Sprint(axis), box, hit)
	p.turned(g, wish.Turning{Lifted: true, To: axis}, shape.Degrees(p.c, g.At), func(turn int) {
		*p.out = append(*p.out, p.n.turnLift(axis+turn)...)
	})
	return hit
}

// drawLifted draws the knob of a cylinder that is held up.
func (p closeup) drawLifted() {
	held := p.n.frame().Held
	if held.Kind != optics.CylinderLens {
		return
	}
	knob, side := p.liftedKnob(held.Axis), knobReach*p.k
	shape.Disc(p.u.Scene(), knob, knobRadius*p.k, p.u.Theme.WoodDeep)
	p.centred(knob, 14*p.k, paper.Bold, fmt.Sprint(shape.Whole(held.Axis)), shape.White())
	p.u.Ring("held cylinder", paper.Rect{X: knob.X - side, Y: knob.Y - side, W: 2 * side, H: 2 * side})
}

// liftedKnob is where that knob is.
func (p closeup) liftedKnob(axis float64) paper.Point {
	if p.full {
		return shape.At(p.c, heldRing*p.rim, axis)
	}
	return shape.At(p.c, p.knob, p.freeEnd(axis))
}

// freeEnd is at which end of its axis a held cylinder has its knob, where there is room for
// one circle of knobs alone: away from the other's, or where the hand has it.
func (p closeup) freeEnd(axis float64) float64 {
	toward := axis
	if cell, ok := p.n.Turnable(); ok {
		toward = p.n.frame().Lenses[cell].Axis + 180
	}
	if p.n.Held != nil && p.n.Held.Lifted {
		toward = shape.Degrees(p.c, p.u.Input().Pointer)
	}
	if math.Cos((axis-toward)*math.Pi/180) < 0 {
		return axis + 180
	}
	return axis
}
