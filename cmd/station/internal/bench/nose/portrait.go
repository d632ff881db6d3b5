package nose

import (
	"image/color"
	"strings"

	"conoid/cmd/station/internal/bench/face"
	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/sim/sitting"
)

// Half of a face from near by, in units of the rim's radius from its eye; x runs
// away from the nose.
var (
	skin = shape.Outline{{-1.3, -3}, {1.62, -3}, {1.8, -1, 1.9, .4, 1.55, 1.7}, {1.25, 2.6, .6, 3.4, -.4, 4}, {-1.3, 4}}
	side = shape.Outline{
		{1.62, -3}, {1.8, -1, 1.9, .4, 1.55, 1.7}, {1.25, 2.6, .6, 3.4, -.4, 4}, {.9, 2.6, 1.5, 1, 1.38, -3},
	}
	beard  = shape.Outline{{1.7, 1.02}, {1.2, 1.9, .5, 2.05, -.3, 2.25}, {-1.3, 2.3}, {-1.3, 4}, {2, 4}}
	fringe = shape.Outline{{-1.3, -3}, {2, -3}, {1.78, -.6}, {1.6, -1.2, 1.2, -1.55, .4, -1.62}, {-.2, -1.67, -.8, -1.65, -1.3, -1.66}}
	lock   = shape.Outline{{1.2, -3}, {2.6, -3}, {2.5, 0, 2.4, 1.5, 2.2, 4}, {1, 4}}
	brow   = shape.Outline{{-.52, -1.2}, {-.1, -1.38, .5, -1.36, .95, -1.12}}

	ridge = shape.Outline{
		{-1.07, -.7}, {-1.05, .3, -.85, .9, -.75, 1.36}, {-.72, 1.75, -1.07, 1.78, -1.27, 1.8},
		{-1.25, 1.3}, {-1.12, .7, -1.17, 0, -1.07, -.7},
	}
	nostril = shape.Outline{{-.87, 1.12}, {-.65, 1.4, -.77, 1.72, -1.05, 1.66}, {-1.17, 1.82, -1.42, 1.82, -1.51, 1.66}}
	cheek   = shape.Outline{{-.65, 1.55}, {-.32, 1.9, -.27, 2.2, -.35, 2.5}}

	eyeWhite = shape.Outline{{-.525, .03}, {-.3, -.36, .32, -.36, .54, 0}, {.3, .27, -.26, .28, -.525, .03}}
	lashes   = shape.Outline{{-.575, .05}, {-.34, -.48, .36, -.48, .6, -.02}, {.34, -.33, -.3, -.33, -.575, .05}}
	lowerLid = shape.Outline{{-.475, .1}, {-.26, .31, .3, .3, .5, .05}}

	arm   = shape.Outline{{1.16, -.42}, {1.75, -.5}, {2.9, -.42}}
	joint = shape.Outline{{-.95, -.5}, {-1.1, -.86, -1.36, -.86, -1.52, -.5}}
)

// fellow is how far the other eye lies from the tested one.
const fellow = 2.46

// What all skins have in common: their shade, and the lines on them.
var (
	shadeSide  = color.NRGBA{60, 25, 5, 33}
	shadeRidge = color.NRGBA{60, 25, 5, 41}
	crease     = color.NRGBA{42, 22, 10, 191}
	fold       = color.NRGBA{42, 22, 10, 71}
	lashLine   = color.NRGBA{42, 22, 10, 217}
	lidLine    = color.NRGBA{42, 22, 10, 153}
	eyeball    = color.NRGBA{0xF7, 0xF2, 0xE8, 255}
	pupil      = color.NRGBA{0x15, 0x12, 0x0F, 255}
	irisEdge   = color.NRGBA{20, 20, 20, 140}
)

// closeup is a face from near by with the frame on it.
type closeup struct {
	part
	mount
	knobs bool // only those are handles: what lies around them is pressed
}

// faceIn draws the face with the frame on it, and what can be turned there.
func (p part) faceIn(r paper.Rect) { p.framed(r, closeup{part: p, mount: p.mounted(r)}) }

// framed draws a face from near by in its place.
func (p part) framed(r paper.Rect, c closeup) {
	sc, t := p.u.Scene(), &p.u.Theme
	sc.Box(paper.Rect{X: r.X + 3, Y: r.Y + 4, W: r.W, H: r.H}, 0, t.Shade)
	sc.Box(r, 0, t.Felt)
	p.u.Clip(r)
	c.skin()
	c.eye(c.at)
	c.eye(c.other())
	c.frame()
	if !c.knobs || !p.n.Near { // or it is turned in the wall's place
		c.turnable(r)
	}
	if c.full {
		c.together(r)
	}
	p.u.Unclip()
	sc.Frame(r, 0, 1, t.Edge)
	p.u.Image(strings.TrimSuffix(p.view(), "."), p.sum(), r)
}

// skin draws the face without its eyes: either half from its own eye.
func (p closeup) skin() {
	sc, who, halves := p.u.Scene(), p.n.Person, []shape.Space{p.other(), p.at}
	each := func(o shape.Outline, col color.NRGBA) {
		for _, s := range halves {
			s.Fill(sc, o, col)
		}
	}
	if who.Style == face.Long {
		each(lock, who.Hair)
	}
	each(skin, who.Skin)
	each(side, shadeSide)
	if who.Beard {
		each(beard, who.Hair)
	}
	switch who.Style {
	case face.Bald:
	case face.Capped:
		each(fringe, who.Hat)
	default:
		each(fringe, who.Hair)
	}
	for _, s := range halves {
		s.Stroke(sc, brow, p.rim*0.085, who.Hair)
	}
	p.at.Fill(sc, ridge, shadeRidge)
	p.at.Stroke(sc, nostril, max(1.5, p.rim*0.026), crease)
	p.at.Stroke(sc, cheek, max(1, p.rim*0.02), fold)
}

// eye draws an eye in the middle of its space.
func (p closeup) eye(s shape.Space) {
	sc := p.u.Scene()
	s.Fill(sc, eyeWhite, eyeball)
	s.Disc(sc, 0, -.01, .225, p.n.Person.Iris)
	shape.Circle(sc, s.At(0, -.01), .225*s.Unit, 1.5, irisEdge)
	s.Disc(sc, 0, -.01, .1, pupil)
	s.Disc(sc, .06, -.07, .035, shape.White())
	if lid := p.n.Lid; lid > 0 {
		s.Fill(sc, lidDown(lid), p.n.Person.Skin)
		s.Fill(sc, lidDown(lid), shadeRidge)
	}
	s.Fill(sc, lashes, lashLine)
	s.Stroke(sc, lowerLid, max(1, s.Unit*0.013), lidLine)
}

// lidDown is the upper lid, closed so far: from the lashes to where it is.
func lidDown(lid float64) shape.Outline {
	low := -.36 + .64*lid
	return shape.Outline{{-.525, .03}, {-.3, -.36, .32, -.36, .54, 0}, {.3, low, -.26, low, -.525, .03}}
}

// mount is where the frame sits in a portrait: everything goes by its rim.
type mount struct {
	at    shape.Space // of the face
	c     paper.Point // before the tested eye
	rim   float64     // radius
	plate float64     // width of the scale around it
	knob  float64     // how far from the middle the knob of a cylinder is
	k     float64     // size of text
	full  bool        // there is room for figures
}

// other is the space of the other eye, which has its nose on the other side.
func (m mount) other() shape.Space {
	s := m.at.Flipped()
	s.Origin = m.at.At(-fellow, 0)
	return s
}

// outward is an angle of the side away from the nose, where the right eye has it
// mirrored. Degrees as the examiner sees them.
func (m mount) outward(degrees float64) float64 {
	if m.at.Mirror {
		return 180 - degrees
	}
	return degrees
}

// eyeLine is how far down in a portrait the eyes are.
const eyeLine = 0.46

// mounted finds the place of the frame: the tested eye near the side on which the
// examiner has it, so that the bridge and the other rim come into view. A patient's
// right eye is on the left.
func (p part) mounted(r paper.Rect) mount {
	k := p.u.Text
	m := mount{k: k, full: true, plate: 36 * k}
	m.rim = min(0.335*(r.W-78*k), 0.285*r.H, eyeLine*r.H-72*k)
	right := p.n.Tested == sitting.Right
	if m.rim < 44*k {
		return p.little(r, right)
	}
	m.knob = m.rim + knobAt*k
	off := 30 * k
	if r.W >= 420*k {
		off = 44 * k
	}
	m.c = paper.Point{X: r.Right() - m.rim - 46*k - off, Y: r.Y + eyeLine*r.H}
	if right {
		m.c.X = r.X + m.rim + 46*k + off
	}
	m.at = shape.Space{Origin: m.c, Unit: m.rim, Mirror: right}
	return m
}

// little is a frame without figures, where there is little room.
func (p part) little(r paper.Rect, right bool) mount {
	k := p.u.Text
	rim := max(1, min(0.3*r.W, 0.3*r.H))
	m := mount{k: k, rim: rim, plate: 12, knob: rim + 2} // there is no room outside
	m.c = r.Centre()
	m.at = shape.Space{Origin: m.c, Unit: rim, Mirror: right}
	return m
}

// sum is all lenses together.
func (p part) sum() string {
	return p.v.Text("bench.tray.together", "rx", p.n.Stands.Prescription())
}

// together writes what all lenses come to, on a plate in the corner by the nose.
func (p closeup) together(r paper.Rect) {
	u, text := p.u, p.sum()
	if u.Width(text, ui.Small) > 0.5*r.W {
		text = p.v.Value(p.n.Stands.Prescription())
	}
	w, h := u.Width(text, ui.Small)+16, u.LineHeight(ui.Small)+8
	plate := paper.Rect{X: r.X + 8, Y: r.Bottom() - h - 8, W: w, H: h}
	if p.n.Tested == sitting.Right {
		plate.X = r.Right() - w - 8
	}
	u.Scene().Box(plate, 6, u.Theme.Sheet)
	u.Scene().Frame(plate, 6, 1, u.Theme.Edge)
	u.Words(plate, text, ui.Small, ui.Middle)
}
