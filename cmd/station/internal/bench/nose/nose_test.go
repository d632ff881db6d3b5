package nose

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/bench/wish"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/voice"
	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// looking is a nose on a screen, in a test.
type looking struct {
	u *ui.UI
	v voice.Voice
	r paper.Rect
}

// The rooms that a nose is given: on a small laptop, on a large screen, on a
// telephone, in a column; and with the largest text.
var rooms = map[string]looking{
	"laptop": {r: paper.Rect{X: 10, Y: 10, W: 643, H: 379}},
	"large":  {r: paper.Rect{X: 10, Y: 10, W: 655, H: 664}},
	"phone":  {r: paper.Rect{X: 10, Y: 10, W: 366, H: 284}},
	"column": {r: paper.Rect{X: 10, Y: 10, W: 380, H: 640}},
	"any":    {r: paper.Rect{X: 10, Y: 10, W: 350}},
}

// see draws a nose, after what the user did, and gives what they wish.
func (s *looking) see(n View, in ui.Input) (out wish.List, bottom float64) {
	if s.u == nil {
		s.u = ui.New()
		s.v = voice.English
	}
	s.u.Begin(in, 700, 2000)
	bottom = Draw(s.u, s.v, s.r, n, &out)
	s.u.End()
	return out, bottom
}

// press presses a thing and gives what is wished.
func (s *looking) press(t *testing.T, n View, id string) wish.List {
	t.Helper()
	s.see(n, ui.Input{})
	i := slices.IndexFunc(s.u.Things(), func(th ui.Thing) bool { return th.ID == id })
	require.GreaterOrEqual(t, i, 0, "there is no %q", id)
	at := s.u.Things()[i].Rect.Centre()
	s.see(n, ui.Input{Pointer: at, Over: true, Down: true, Pressed: true})
	out, _ := s.see(n, ui.Input{Pointer: at, Over: true, Released: true})
	return out
}

// wearing is the tested eye with lenses before it, from the back.
func wearing(side sitting.Side, lenses ...optics.Lens) View {
	n := View{Tested: side, Vertex: 0.012}
	copy(n.Stands.Lenses[:], lenses)
	n.Frames[side.Index()] = n.Stands
	return n
}

var (
	minus = optics.SphereOf(-1.75)
	cyl   = optics.CylinderOf(-0.75, 50)
)

// Whatever the lenses, language, eye and room: everything to press is large enough,
// nothing is cut, and what has to fit into a given height does.
func TestTheTrayFitsItsRoom(t *testing.T) {
	strongest := wearing(sitting.Left, optics.SphereOf(-20), optics.CylinderOf(-6, 180), optics.CylinderOf(-0.25, 5), optics.Occluder())
	strongest.Stands.Held = optics.SphereOf(1)
	for name, room := range rooms {
		for _, text := range []float64{1, 1.5, 2} {
			for _, language := range []string{"en", "de"} {
				for _, n := range []View{wearing(sitting.Right), wearing(sitting.Right, minus, cyl), strongest, wearing(sitting.Left, cyl, optics.Pinhole())} {
					s := room
					s.u, s.v = ui.New(), voice.In(language)
					s.u.Text = text
					_, bottom := s.see(n, ui.Input{})
					if text == 1 && s.r.H > 0 {
						assert.LessOrEqual(t, bottom, s.r.Bottom(), name)
					}
					checkParts(t, fmt.Sprint(name, text, language), s.u.Things(), s.r)
				}
			}
		}
	}
}

// checkParts checks the sizes of parts, and that none lies over another.
func checkParts(t *testing.T, name string, things []ui.Thing, in paper.Rect) {
	t.Helper()
	for i, th := range things {
		assert.False(t, th.Cut, "%s: %q is cut", name, th.Label)
		assert.GreaterOrEqual(t, th.Rect.X, in.X-1, "%s: %q", name, th.ID)
		assert.LessOrEqual(t, th.Rect.Right(), in.Right()+1, "%s: %q", name, th.ID)
		if th.Role != ui.RoleButton {
			continue
		}
		assert.GreaterOrEqual(t, th.Rect.W, 43.9, "%s: %q", name, th.ID)
		assert.GreaterOrEqual(t, th.Rect.H, 43.9, "%s: %q", name, th.ID)
		for _, other := range things[:i] {
			over := th.Rect.Intersect(other.Rect)
			assert.False(t, other.Role == ui.RoleButton && over.W > 0.5 && over.H > 0.5, "%s: %q lies over %q", name, th.ID, other.ID)
		}
	}
}

// Nothing moves when lenses come and go: an empty cell keeps its row.
func TestNothingMovesWhenLensesComeAndGo(t *testing.T) {
	for name, room := range rooms {
		places := map[string]paper.Rect{}
		for _, n := range []View{wearing(sitting.Right, minus), wearing(sitting.Right, minus, cyl), wearing(sitting.Right), wearing(sitting.Right, minus, cyl, minus, minus)} {
			s := room
			s.see(n, ui.Input{})
			for _, th := range s.u.Things() {
				if was, seen := places[th.ID]; seen && th.Role == ui.RoleButton && th.ID != "put in" {
					assert.Equal(t, was, th.Rect, "%s: %q moved", name, th.ID)
				}
				places[th.ID] = th.Rect
			}
		}
	}
}

func TestTheTrayWishes(t *testing.T) {
	s := rooms["laptop"]
	n := wearing(sitting.Right, minus, cyl)
	assert.Equal(t, wish.List{wish.Exchange(optics.Back, optics.SphereOf(-2))}, s.press(t, n, "back-0.25"))
	assert.Equal(t, wish.List{wish.TrialSet{Cell: optics.Back}}, s.press(t, n, "other back"))
	touch := wish.Touch{Cell: optics.Front1}
	assert.Equal(t, wish.List{touch, wish.Exchange(optics.Front1, optics.CylinderOf(-0.5, 50))}, s.press(t, n, "front 1+0.25"))
	assert.Equal(t, wish.List{touch, wish.Turn(optics.Front1, 45)}, s.press(t, n, "front 1 axis -5"))
	assert.Equal(t, wish.List{touch, wish.Take(optics.Front1)}, s.press(t, n, "out front 1"))
	assert.Equal(t, wish.List{wish.TrialSet{Cell: optics.Front2}}, s.press(t, n, "put in"))
	assert.Equal(t, wish.List{wish.TrialSet{Cell: optics.Front3}}, s.press(t, n, "put in front 3"))
	assert.Equal(t, wish.List{touch}, s.press(t, n, "cell front 1"))
	assert.Equal(t, wish.List{wish.Cover(sitting.Left, true)}, s.press(t, n, "cover left"))

	n = wearing(sitting.Right)
	assert.Equal(t, wish.List{wish.TrialSet{Cell: optics.Back}}, s.press(t, n, "put in"), "the first empty cell")
	assert.Equal(t, wish.List{wish.TrialSet{Cell: optics.Front1}}, s.press(t, n, "put in front 1"))
}

// One press raises a lens, another lowers it, and one of another changes hands.
func TestLensesAreHeldUpAndLowered(t *testing.T) {
	s, half := rooms["laptop"], optics.SphereOf(0.5)
	n := wearing(sitting.Right, minus)
	assert.Equal(t, wish.List{wish.HoldUp(half)}, s.press(t, n, "hold +0.50"))
	n.Stands.Held = half
	assert.Equal(t, wish.List{wish.Lower()}, s.press(t, n, "hold +0.50"))
	assert.Equal(t, wish.List{wish.Lower(), wish.HoldUp(optics.SphereOf(1))}, s.press(t, n, "hold +1.00"))
}

// Which front cell is at hand: the one that was touched, or else the foremost.
func TestTheFrontCellAtHand(t *testing.T) {
	n := wearing(sitting.Right, minus, cyl, optics.CylinderOf(-0.5, 30))
	assert.Equal(t, optics.Front2, n.shown())
	n.Hand = optics.Front1
	assert.Equal(t, optics.Front1, n.shown())
	n.Hand = optics.Front3 // from which the lens was taken out
	assert.Equal(t, optics.Front2, n.shown())
	assert.Equal(t, optics.Front1, wearing(sitting.Right).shown())
}

// text finds the place of a text of a style on the screen.
func (s *looking) text(text string, size float64) (out []paper.Point) {
	for _, m := range s.u.Scene().Marks() {
		if m.Kind == paper.KindText && m.Text == text && m.Size == size && m.Weight == paper.Regular {
			out = append(out, m.Bounds.Centre())
		}
	}
	return out
}

// ISO 8429: the axis is counted from the right as the examiner faces the patient,
// counter-clockwise, the same before either eye. So 30 stands to the upper right
// and to the lower left of the middle, and 90 above and below it.
func TestTheScaleIsThatOfTheStandard(t *testing.T) {
	for _, side := range []sitting.Side{sitting.Right, sitting.Left} {
		s := rooms["laptop"]
		n := wearing(side, minus, cyl)
		s.see(n, ui.Input{})
		c := part{s.u, s.v, n, nil}.mounted(paper.Rect{X: 10, Y: 10, W: 643 - trayWidth - gap, H: 379}).c
		for deg := 30; deg <= 180; deg += 30 {
			at := s.text(fmt.Sprint(deg), 13)
			require.Len(t, at, 2, deg)
			for _, p := range at {
				off := math.Remainder(shape.Degrees(c, p)-float64(deg), 180)
				assert.InDelta(t, 0, off, 3, "%d", deg)
			}
		}
		thirty := s.text("30", 13)
		upper := slices.MinFunc(thirty, func(a, b paper.Point) int { return int(a.Y - b.Y) })
		assert.Greater(t, upper.X, c.X, "to the upper right")
	}
}

// The knob bears the axis, and is at it.
func TestTheKnobBearsTheAxis(t *testing.T) {
	for _, axis := range []float64{5, 90, 175} {
		s := rooms["laptop"]
		n := wearing(sitting.Right, minus, optics.CylinderOf(-0.75, axis))
		s.see(n, ui.Input{})
		c := part{s.u, s.v, n, nil}.mounted(paper.Rect{X: 10, Y: 10, W: 643 - trayWidth - gap, H: 379}).c
		found := false
		for _, m := range s.u.Scene().Marks() {
			if m.Kind == paper.KindText && m.Text == fmt.Sprint(axis) && m.Size == 14 {
				found = true
				assert.InDelta(t, axis, shape.Degrees(c, m.Bounds.Centre()), 2)
			}
		}
		assert.True(t, found)
	}
}

// What shows an axis goes over no figure of the scale, wherever it stands.
func TestTheKnobCoversNoFigure(t *testing.T) {
	s, painter := rooms["laptop"], paper.NewPainter()
	for axis := 2.0; axis <= 180; axis += 2 {
		s.see(wearing(sitting.Left, minus, optics.CylinderOf(-0.75, axis)), ui.Input{})
		painter.Paint(s.u.Scene(), 1)
		for _, m := range s.u.Scene().Marks() {
			if m.Kind != paper.KindText || m.Size != figureSize || m.Weight != paper.Regular || len(m.Text) > 3 {
				continue
			}
			blue, base := 0, m.Bounds.Y+paper.Ascent(m.Size, m.Weight)
			for x := int(m.Bounds.X); x < int(m.Bounds.Right()); x++ {
				for y := int(base - paper.CapHeight(m.Size, m.Weight)); y < int(base); y++ {
					if c := painter.Image().RGBAAt(x, y); int(c.B) > int(c.R)+40 {
						blue++
					}
				}
			}
			assert.Zero(t, blue, "%v over %s", axis, m.Text)
		}
	}
}

// rims are the radii of the edges of the lenses, outer ones first.
func rims(s *looking) (out []float64) {
	for _, m := range s.u.Scene().Marks() {
		if m.Kind == paper.KindStroke && m.Colour == glassEdge {
			out = append(out, m.Bounds.W/2)
		}
	}
	return out
}

// A lens is 7 pixels smaller than the one behind it.
func TestLensesFurtherForwardAreSmaller(t *testing.T) {
	s := rooms["laptop"]
	s.see(wearing(sitting.Left, minus, cyl, minus, minus), ui.Input{})
	r := rims(&s)
	require.Len(t, r, 4)
	for i := range 3 {
		assert.InDelta(t, 7, r[i]-r[i+1], 1e-9)
	}
}

// No power, and no handle, stands over a figure of the scale, on either eye.
func TestPowersStandBesideTheFigures(t *testing.T) {
	for _, name := range []string{"laptop", "large"} {
		for _, side := range []sitting.Side{sitting.Right, sitting.Left} {
			s := rooms[name]
			n := wearing(side, optics.SphereOf(-10.5), cyl, cyl, cyl)
			n.Frames[side.Index()].Held = optics.SphereOf(0.5)
			s.see(n, ui.Input{})
			var figures, plaques, handles []paper.Rect
			for _, m := range s.u.Scene().Marks() {
				switch {
				case m.Kind == paper.KindText && m.Size == 13 && m.Weight == paper.Regular && len(m.Text) <= 3:
					figures = append(figures, m.Bounds.Inset(2))
				case m.Kind == paper.KindBox && m.Bounds.H == 26 && m.Colour == s.u.Theme.Sheet:
					plaques = append(plaques, m.Bounds)
				case m.Kind == paper.KindStroke && m.Colour == s.u.Theme.MetalOut && max(m.Bounds.W, m.Bounds.H) < 60:
					handles = append(handles, m.Bounds)
				}
			}
			require.GreaterOrEqual(t, len(figures), 12)
			require.Len(t, plaques, 5)
			require.Len(t, handles, 4)
			for _, f := range figures {
				for _, p := range plaques {
					assert.False(t, f.Overlaps(p), "%s, %s: %v on %v", name, side, p, f)
				}
				for _, h := range handles { // where it crosses the scale
					a, b := f.Centre(), h.Centre()
					assert.Greater(t, math.Hypot(a.X-b.X, a.Y-b.Y), 20.0, "%s, %s: %v on %v", name, side, h, f)
				}
			}
		}
	}
}

// The other eye lies across the nose: a patient's left is on the examiner's right.
func TestTheOtherEyeIsAcrossTheNose(t *testing.T) {
	black := func(side sitting.Side, covered bool) (x []float64) {
		s := rooms["large"]
		n := wearing(side, minus)
		n.Covered[side.Other().Index()] = covered
		s.see(n, ui.Input{})
		for _, m := range s.u.Scene().Marks() {
			if m.Kind == paper.KindFill && m.Colour == s.u.Theme.Black && m.Bounds.W > 100 {
				x = append(x, m.Bounds.Centre().X)
			}
		}
		return x
	}
	assert.Empty(t, black(sitting.Right, false))
	require.Len(t, black(sitting.Right, true), 1)
	assert.Greater(t, black(sitting.Right, true)[0], 10+655/2.0)
	require.Len(t, black(sitting.Left, true), 1)
	assert.Less(t, black(sitting.Left, true)[0], 10+655/2.0)
}

// A blink is drawn, and the lids are all that moves.
func TestABlinkIsDrawn(t *testing.T) {
	drawn := func(lid float64) int {
		s := rooms["laptop"]
		n := wearing(sitting.Left, minus)
		n.Person.Skin, n.Lid = color.NRGBA{200, 150, 120, 255}, lid
		s.see(n, ui.Input{})
		return len(s.u.Scene().Marks())
	}
	assert.Equal(t, drawn(0)+4, drawn(0.5), "a lid and its shade on either eye")
}

// scrolled draws the nose in a column that scrolls, or in one that does not.
func scrolled(u *ui.UI, n View, high float64, in ui.Input) (out wish.List, knob paper.Point) {
	u.Begin(in, 360, high)
	x, y, w := u.Scroll("column", paper.Rect{W: 360, H: high}, false)
	r := paper.Rect{X: x, Y: y, W: w}
	u.EndScroll(Draw(u, voice.English, r, n, &out))
	u.End()
	m := part{u, voice.English, n, nil}.mounted(paper.Rect{X: x, Y: y, W: w, H: math.Floor(0.9 * w)})
	return out, shape.At(m.c, m.knob, n.frame().Lenses[optics.Front1].Axis)
}

// Who scrolls, by the wheel or by a finger, turns no cylinder on the way; the knob
// turns it there too. Nor does the wheel where nothing is to be scrolled.
func TestScrollingTurnsNoCylinder(t *testing.T) {
	n := wearing(sitting.Left, minus, cyl)
	u := ui.New()
	_, knob := scrolled(u, n, 300, ui.Input{})
	middle := paper.Point{X: 200, Y: 180}
	out, _ := scrolled(u, n, 300, ui.Input{Pointer: knob, Over: true, Wheel: -1})
	assert.Empty(t, out, "the wheel scrolls")
	u = ui.New()
	scrolled(u, n, 300, ui.Input{})
	out, _ = scrolled(u, n, 300, ui.Input{Pointer: middle, Over: true, Down: true, Pressed: true})
	assert.Empty(t, out, "a finger on the face scrolls")
	out, _ = scrolled(u, n, 300, ui.Input{Pointer: knob, Over: true, Down: true, Pressed: true})
	assert.IsType(t, wish.Hold{}, out[0], "one on the knob turns")

	u = ui.New()
	scrolled(u, n, 2000, ui.Input{})
	out, _ = scrolled(u, n, 2000, ui.Input{Pointer: knob, Over: true, Wheel: -1})
	assert.Empty(t, out)
	out, _ = scrolled(u, n, 2000, ui.Input{Pointer: middle, Over: true, Down: true, Pressed: true})
	assert.IsType(t, wish.Hold{}, out[0])
}
