package bench

import (
	"fmt"
	"image/color"
	"math"
	"time"

	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// drawNose draws the trial frame as the examiner faces it, and the tray, in a
// column with so much room.
func (a *App) drawNose(c *ui.Column, room float64) {
	t := a.seat
	st := t.s.State()
	h := c.W * 0.7
	if !a.narrow() { // what the tray leaves of the height
		h = min(max(room-330*a.ui.Text, c.W*0.5), c.W*0.76)
	}
	a.drawFrame(c.Block(h), st)
	c.Para(a.l("nose.view", fmt.Sprintf("%.0f", 1000*t.s.Setup().Room.Vertex)), ui.Note)
	c.Gap(6)
	a.tray(c, st)
}

// drawFrame draws both sides of the frame: the tested eye large, the other
// small. The right eye is on the examiner's left.
func (a *App) drawFrame(r paper.Rect, st sitting.State) {
	u, t := a.ui, a.seat
	tested := t.tested()
	small := min(r.W*0.3, r.H*0.42)
	var big, other paper.Rect
	if tested == sitting.Right {
		other, big = r.CutRight(small)
	} else {
		other, big = r.CutLeft(small)
	}
	radius := min(big.W, big.H)/2 - 2
	centre := big.Centre()
	little := paper.Point{X: other.Centre().X, Y: r.Y + small/2 + 8}
	// The bridge joins the two rims.
	side := 45.0
	if tested == sitting.Left {
		side = 135
	}
	from := at(centre, radius-22*u.Text, side)
	u.Scene().Line(from.X, from.Y, little.X, little.Y, 5*u.Text, u.Theme.Edge)
	a.drawOther(little, small*0.36, tested.Other(), st)
	name := a.eye(string(tested.Other()))
	for i, l := range u.Wrap(name, other.W, ui.Note) {
		lh := u.LineHeight(ui.Note)
		u.Words(paper.Rect{X: other.X, Y: little.Y + small*0.42 + float64(i)*lh, W: other.W, H: lh}, l, ui.Note, ui.Middle)
	}
	a.drawTested(centre, radius, st)
}

// drawOther draws the eye that is not tested.
func (a *App) drawOther(c paper.Point, radius float64, side sitting.Side, st sitting.State) {
	sc, t := a.ui.Scene(), &a.ui.Theme
	disc(sc, c, radius, t.Edge)
	disc(sc, c, radius-3, t.Sheet)
	i := side.Index()
	if st.Covered[i] || st.Frames[i].Blocked() {
		disc(sc, c, radius-5, t.Black)
		return
	}
	a.eyeBehind(c, radius*0.5)
	for _, l := range st.Frames[i].Lenses {
		if l != (optics.Lens{}) {
			disc(sc, c, radius-5, t.Glass)
		}
	}
}

// eyeBehind draws an eye, as plain as it can be.
func (a *App) eyeBehind(c paper.Point, r float64) {
	sc, t := a.ui.Scene(), &a.ui.Theme
	disc(sc, c, r, t.Rule)
	disc(sc, c, r*0.45, t.Black)
}

func disc(sc *paper.Scene, c paper.Point, r float64, col color.NRGBA) {
	var p paper.Path
	p.Circle(c, r)
	sc.Fill(&p, col)
}

func circle(sc *paper.Scene, c paper.Point, r, width float64, col color.NRGBA) {
	var p paper.Path
	p.Circle(c, r)
	sc.Stroke(&p, width, col)
}

// at is the place at an angle, degrees counter-clockwise from the right as the
// examiner sees it, at a distance from the middle.
func at(c paper.Point, r, degrees float64) paper.Point {
	s, k := math.Sincos(degrees * math.Pi / 180)
	return paper.Point{X: c.X + r*k, Y: c.Y - r*s}
}

// drawTested draws the side of the frame before the tested eye: the axis scale
// around it and every lens in its cell.
func (a *App) drawTested(c paper.Point, radius float64, st sitting.State) {
	u, t := a.ui, a.seat
	sc := u.Scene()
	f := st.Frames[t.tested().Index()]
	if t.turn != nil && !t.turn.arrow {
		f.Lenses[t.turn.cell].Axis = float64(t.turn.to)
	}
	rim := radius - 22*u.Text
	a.axisScale(c, radius, rim)
	disc(sc, c, rim, u.Theme.Edge)
	disc(sc, c, rim-5, u.Theme.Sheet)
	a.eyeBehind(c, rim*0.34)
	if st.Covered[t.tested().Index()] {
		disc(sc, c, rim-7, u.Theme.Black)
	}
	var stand []optics.Lens
	for cell, l := range f.Lenses {
		if l != (optics.Lens{}) {
			place := paper.Point{X: c.X, Y: c.Y - radius*a.slid(cell)}
			a.drawLens(place, rim-7-4*float64(len(stand)), l)
			stand = append(stand, l)
		}
	}
	for i, l := range stand { // what is engraved is read through the glass in front
		a.engrave(c, rim-7, engraved(l, i), l)
	}
	if f.Held != (optics.Lens{}) {
		a.drawHeld(c, rim, f.Held)
	}
	a.turnCylinder(c, radius, f)
}

// axisScale draws the scale of standard notation all around: either end of a
// cylinder's axis stands at its figure.
func (a *App) axisScale(c paper.Point, radius, rim float64) {
	u := a.ui
	sc := u.Scene()
	size := min(11*u.Text, (radius-rim)*0.62)
	for deg := 0; deg < 360; deg += 5 {
		long := 4.0
		switch {
		case deg%30 == 0:
			long = 9
		case deg%10 == 0:
			long = 7
		}
		p, q := at(c, rim+1, float64(deg)), at(c, rim+long*0.8, float64(deg))
		sc.Line(p.X, p.Y, q.X, q.Y, 1, u.Theme.Quiet)
		if deg%30 == 0 {
			label := fmt.Sprint(folded(deg))
			turn := float64(deg)*math.Pi/180 - math.Pi/2
			if deg > 180 {
				turn += math.Pi // the lower half is read from the front as well
			}
			sc.TextTurned(at(c, (radius+rim)/2+5, float64(deg)), turn, size, paper.Regular, label, u.Theme.Ink)
		}
	}
}

// drawLens draws a lens in its cell: a sphere with its handle to the side, a
// cylinder with a mark at either end of its axis and its handle along it.
func (a *App) drawLens(c paper.Point, r float64, l optics.Lens) {
	u := a.ui
	sc := u.Scene()
	switch l.Kind {
	case optics.OccluderLens:
		disc(sc, c, r, u.Theme.Black)
		return
	case optics.PinholeLens:
		disc(sc, c, r, u.Theme.Black)
		disc(sc, c, 4, u.Theme.Sheet)
		return
	}
	disc(sc, c, r, u.Theme.Glass)
	circle(sc, c, r, 1, u.Theme.Edge)
	if l.Kind == optics.CylinderLens {
		colour := u.Theme.Accent
		for _, end := range []float64{l.Axis, l.Axis + 180} {
			p, q := at(c, r*0.72, end), at(c, r, end)
			sc.Line(p.X, p.Y, q.X, q.Y, 3.5, colour)
		}
		p, q := at(c, r*0.72, l.Axis), at(c, r*0.72, l.Axis+180)
		dashed(sc, p, q, colour)
	}
}

// engraved is where the power of a lens stands, degrees: of a cylinder beside
// its axis.
func engraved(l optics.Lens, depth int) float64 {
	if l.Kind == optics.CylinderLens {
		return l.Axis + 16
	}
	return 231 + 30*float64(depth)
}

// engrave writes a power on the glass, upright, near the edge of the lens.
func (a *App) engrave(c paper.Point, r, angle float64, l optics.Lens) {
	if l.Kind != optics.SphereLens && l.Kind != optics.CylinderLens {
		return
	}
	col := a.ui.Theme.Ink
	if l.Kind == optics.CylinderLens {
		col = a.ui.Theme.Accent
	}
	text, size := trueMinus(fmt.Sprintf("%+.2f", l.Power)), 13*a.ui.Text
	w := paper.Width(text, size, paper.Bold)
	p := at(c, r*0.62, angle)
	box := paper.Rect{X: p.X - w/2 - 4, Y: p.Y - size*0.72, W: w + 8, H: size * 1.35}
	a.ui.Scene().Box(box, 4, a.ui.Theme.Sheet)
	a.ui.Scene().Text(p.X-w/2, p.Y+size*0.36, size, paper.Bold, text, col)
}

func dashed(sc *paper.Scene, p, q paper.Point, col color.NRGBA) {
	long := math.Hypot(q.X-p.X, q.Y-p.Y)
	dx, dy := (q.X-p.X)/long, (q.Y-p.Y)/long
	for d := 0.0; d < long; d += 12 {
		e := min(d+6, long)
		sc.Line(p.X+d*dx, p.Y+d*dy, p.X+e*dx, p.Y+e*dy, 1.25, col)
	}
}

// drawHeld draws a lens on its handle before the frame.
func (a *App) drawHeld(c paper.Point, rim float64, l optics.Lens) {
	u := a.ui
	sc := u.Scene()
	from, to := at(c, rim*0.75, 300), at(c, rim*1.25, 300)
	sc.Line(from.X, from.Y, to.X, to.Y, 8, u.Theme.Ink)
	circle(sc, c, rim*0.75, 5, u.Theme.Ink)
	disc(sc, c, rim*0.73, u.Theme.Glass)
	a.engrave(c, rim*0.75, 284, l)
}

// turnable is the cell of the cylinder that the hand turns: the one that was
// touched last, or the foremost.
func (a *App) turnable(f optics.Frame) (cell int, ok bool) {
	if f.Lenses[a.seat.cell].Kind == optics.CylinderLens {
		return a.seat.cell, true
	}
	for cell := optics.Cells - 1; cell >= 0; cell-- {
		if f.Lenses[cell].Kind == optics.CylinderLens {
			return cell, true
		}
	}
	return 0, false
}

// turnCylinder lets the cylinder be turned by hand.
func (a *App) turnCylinder(c paper.Point, radius float64, f optics.Frame) {
	u, t := a.ui, a.seat
	cell, ok := a.turnable(f)
	if !ok {
		return
	}
	axis := int(f.Lenses[cell].Axis)
	box := paper.Rect{X: c.X - radius, Y: c.Y - radius, W: 2 * radius, H: 2 * radius}
	g := u.Grip("cylinder", a.l("nose.cylinder"), fmt.Sprint(axis), box, func(p paper.Point) bool {
		return math.Hypot(p.X-c.X, p.Y-c.Y) <= radius
	})
	angle := math.Atan2(c.Y-g.At.Y, g.At.X-c.X) * 180 / math.Pi
	held := t.turn != nil && !t.turn.arrow
	switch {
	case g.Taken:
		t.turn = &turning{cell: cell, grab: float64(axis) - angle, to: axis}
	case g.Freed && held:
		to, cell := t.turn.to, t.turn.cell
		t.turn = nil
		if to != int(t.s.State().Frames[t.tested().Index()].Lenses[cell].Axis) {
			a.turnTo(cell, to)
		}
	case g.Held && held:
		t.turn.to = whole(angle + t.turn.grab)
	case g.Turn != 0:
		a.turnTo(cell, folded(axis+g.Turn))
	}
	if u.Focused("cylinder") {
		u.Ring("cylinder", box)
	}
	if held && t.turn != nil { // the figure stands where the eye is
		text := fmt.Sprint(t.turn.to)
		size := 28 * u.Text
		w := paper.Width(text, size, paper.Bold)
		u.Scene().Box(paper.Rect{X: c.X - w/2 - 8, Y: c.Y - size*0.7, W: w + 16, H: size * 1.4}, 6, u.Theme.Sheet)
		u.Scene().Text(c.X-w/2, c.Y+size*0.36, size, paper.Bold, text, u.Theme.Accent)
	}
}

func (a *App) turnTo(cell, axis int) {
	a.perform(sitting.Action{Do: sitting.Turn, Cell: sitting.In(optics.Cell(cell)), Axis: axis})
}

// sliding is a lens on its way into its cell.
type sliding struct {
	cell  int
	since time.Duration
	moves bool
}

// slideTime is how long a lens takes.
const slideTime = 180 * time.Millisecond

// slide lets the lens that an action puts in slide into its cell.
func (a *App) slide(act sitting.Action) {
	if act.Do != sitting.Put && act.Do != sitting.Exchange || a.set.Still || act.Eye != a.seat.tested() {
		return
	}
	if cell, named := act.Cell.Cell(); named {
		a.seat.sliding = sliding{int(cell), a.last, true}
	}
}

// slid is how far a lens is from its cell, as a share of the rim's radius.
func (a *App) slid(cell int) float64 {
	s := &a.seat.sliding
	if !s.moves || s.cell != cell {
		return 0
	}
	left := 1 - float64(a.last-s.since)/float64(slideTime)
	if left <= 0 {
		s.moves = false
		return 0
	}
	a.ui.Again()
	return left * left * 0.6
}
