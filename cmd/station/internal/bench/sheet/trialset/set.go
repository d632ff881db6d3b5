// Package trialset lays the whole trial set in front: on the left the places that a lens
// can go to, as the frame is seen from the side, on the right the case with the lenses. A
// window shows a few dioptres of it at a time, for nobody looks for one lens among ninety.
package trialset

import (
	"strconv"
	"strings"

	"conoid/cmd/station/internal/bench/desk"
	"conoid/cmd/station/internal/bench/nose"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// Set is the trial set, open for one place.
type Set struct {
	place   place
	kind    optics.Kind
	axis    int    // of a new cylinder, 1 to 180
	written string // the same, as it is being typed
	first   int    // of the window
	power   string // as it is being typed
	refused error  // what was typed
	grab    float64
	turning float64 // the axis less the angle of the hand, while the dial is turned, degrees
}

// place is where a lens can go: a cell, or the hand in front of them all.
type place uint8

// hand is the place in front of the cells.
const hand = place(optics.Cells)

// lens is what is in a place.
func (p place) lens(f optics.Frame) optics.Lens {
	if p == hand {
		return f.Held
	}
	return f.Lenses[p]
}

// New is the set for a lens in a cell. A new cylinder goes where the old one stands, or
// where the arrow points.
func New(n nose.View, pointer int, cell optics.Cell) *Set {
	s := &Set{kind: optics.SphereLens}
	s.turn(pointer)
	now := n.Stands.Lenses[cell]
	if at, ok := n.Turnable(); ok {
		s.turn(shape.Whole(n.Stands.Lenses[at].Axis))
	} else if cell != optics.Back && now == (optics.Lens{}) { // what goes in front is the cylinder
		s.kind = optics.CylinderLens
	}
	s.choose(n, place(cell))
	return s
}

// choose lays a place's lens into the middle of the window.
func (s *Set) choose(n nose.View, p place) {
	s.place, s.refused = p, nil
	now := p.lens(n.Stands)
	switch now.Kind {
	case optics.CylinderLens:
		s.kind = optics.CylinderLens
		s.turn(shape.Whole(now.Axis))
	case optics.SphereLens:
		s.kind = optics.SphereLens
	}
	if p == hand && s.kind == optics.PinholeLens {
		s.kind = optics.SphereLens
	}
	s.open(n)
}

// open opens a drawer where the lens in use lies, or at zero.
func (s *Set) open(n nose.View) {
	power := 0.0
	if now := s.place.lens(n.Stands); now.Kind == s.kind {
		power = now.Power
	}
	s.first = around(s.drawer(n.Set), power)
}

// turn turns a new cylinder to an axis.
func (s *Set) turn(axis int) { s.axis, s.written = axis, strconv.Itoa(axis) }

// drawer is the lenses of the kind, for the place.
func (s *Set) drawer(set optics.TrialSet) []compartment {
	switch {
	case s.place == hand && s.kind == optics.CylinderLens:
		return compartments(set.HeldCylinders())
	case s.place == hand:
		var powers []float64
		for _, l := range set.HandHeld() {
			powers = append(powers, l.Power)
		}
		return compartments(powers)
	case s.kind == optics.CylinderLens:
		return compartments(set.Cylinders())
	}
	return compartments(set.Spheres())
}

// new is a lens of the drawer.
func (s *Set) new(power float64) optics.Lens {
	if s.kind == optics.CylinderLens {
		return optics.CylinderOf(power, float64(s.axis))
	}
	return optics.SphereOf(power)
}

// put is what puts a lens into the place.
func (s *Set) put(f optics.Frame, l optics.Lens) wish.List {
	if s.place != hand {
		cell := optics.Cell(s.place)
		return wish.List{wish.Touch{Cell: cell}, wish.Into(f, cell, l)}
	}
	if f.Held == (optics.Lens{}) {
		return wish.List{wish.HoldUp(l)}
	}
	return wish.List{wish.Lower(), wish.HoldUp(l)}
}

// drawing is what the set is drawn with.
type drawing struct {
	*Set
	u   *ui.UI
	v   voice.Voice
	n   nose.View
	c   *ui.Column
	out *wish.List
}

// The room in which the places stand beside the case, and for them, logical pixels at a
// text size of 100 %; what is pressed is as high as target.
const (
	beside    = 720
	placeWide = 236
	target    = 44
)

// Draw draws the set; it reports whether it was closed, or a lens was taken.
func (s *Set) Draw(d *desk.Desk, n nose.View, out *wish.List) (closed bool) {
	v, before := d.Voice(), len(*out)
	closed = d.UI.Dialog("trial set", v.Text("bench.set.title"), v.Text("bench.close"), 1060, func(c *ui.Column) {
		p := drawing{s, d.UI, v, n, c, out}
		if c.W < beside*d.UI.Text {
			side{p}.placesAcross()
			p.lenses()
			return
		}
		top, x, w := c.Y, c.X, c.W
		c.W = placeWide * d.UI.Text
		side{p}.places()
		foot := c.Y
		c.X, c.Y, c.W = x+c.W+20, top, w-c.W-20
		p.lenses()
		c.X, c.W, c.Y = x, w, max(c.Y, foot)
	})
	return closed || len(*out) > before
}

// lenses is the drawers, the lenses of one, and what comes of a press.
func (p drawing) lenses() {
	p.drawers()
	switch p.kind {
	case optics.PinholeLens:
		p.pieces()
	case optics.CylinderLens:
		axial{p}.cylinders()
	default:
		p.box(p.c.W)
	}
	if p.kind != optics.PinholeLens {
		p.finder()
	}
	p.outcome()
}

// drawerOf is a part of the set with a name.
type drawerOf struct {
	kind optics.Kind
	id   string
}

// kinds are the drawers of the set; the hand has no use for the last.
func (p drawing) kinds() []drawerOf {
	kinds := []drawerOf{{optics.SphereLens, "spheres"}, {optics.CylinderLens, "cylinders"}, {optics.PinholeLens, "pieces"}}
	if p.place == hand {
		return kinds[:2]
	}
	return kinds
}

// drawers are the kinds of lenses to choose from.
func (p drawing) drawers() {
	f := p.u.Flow(p.c.X, p.c.Y, p.c.W)
	for _, one := range p.kinds() {
		look, label := ui.Plain, p.v.Text("bench.set."+one.id)
		if one.kind == p.kind {
			look = ui.Selected
		}
		w, h := p.u.ButtonSize(label, p.c.W)
		if one.kind == optics.PinholeLens && w > f.Rest() {
			label = p.v.Text("bench.set.others")
			w, h = p.u.ButtonSize(label, p.c.W)
		}
		if p.u.Button("kind "+one.id, f.Next(w, max(h, target*p.u.Text)), label, look) {
			p.kind, p.refused = one.kind, nil
			p.open(p.n)
			p.u.Unsettle()
		}
	}
	p.c.Y = f.Bottom() + 10
}

// outcome says what a press does, or why what was typed does not.
func (p drawing) outcome() {
	if why := p.why(); why != nil {
		p.c.Para(p.v.Sentence(p.v.Error(why)), ui.Refusal)
		return
	}
	text := p.v.Text("bench.set.goes")
	switch now := p.place.lens(p.n.Stands); {
	case p.place == hand:
		text = p.v.Text("bench.set.raises")
	case now != optics.Lens{}:
		text = p.v.Text("bench.set.swaps", "lens", now)
	}
	p.c.Para(text+" "+p.v.Text("bench.set.now", "rx", p.n.Stands.Prescription()), ui.Note)
}

// why is why what was typed is not taken; nil if it is.
func (s *Set) why() error {
	if s.refused == nil && s.noAxis() {
		return fact.Refuse("bench.set.no-axis", "text", strings.TrimSpace(s.written), "axis", s.axis)
	}
	return s.refused
}

// pick wishes a lens into the place.
func (p drawing) pick(l optics.Lens) { *p.out = append(*p.out, p.put(p.n.Stands, l)...) }

// number is a whole dioptre with its sign.
func (p drawing) number(whole int) string {
	if whole == 0 {
		return p.v.Value(fact.Number(0))
	}
	return p.v.Value(fact.Turn(whole))
}
