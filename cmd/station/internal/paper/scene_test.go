package paper

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestCutting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 100)
		r := Rect{float64(n.Draw(t, "x")), float64(n.Draw(t, "y")), float64(n.Draw(t, "w")), float64(n.Draw(t, "h"))}
		d := float64(rapid.IntRange(-20, 150).Draw(t, "cut"))
		for name, cut := range map[string]func(float64) (Rect, Rect){"top": r.CutTop, "bottom": r.CutBottom, "left": r.CutLeft, "right": r.CutRight} {
			part, rest := cut(d)
			if part.Overlaps(rest) || part.W*part.H+rest.W*rest.H != r.W*r.H || !r.Empty() && part.Union(rest) != r {
				t.Fatalf("%s: %v is not %v and %v", name, r, part, rest)
			}
		}
	})
	part, rest := Rect{10, 20, 100, 50}.CutRight(30)
	assert.Equal(t, Rect{80, 20, 30, 50}, part)
	assert.Equal(t, Rect{10, 20, 70, 50}, rest)
	part, rest = Rect{10, 20, 100, 50}.CutBottom(20)
	assert.Equal(t, Rect{10, 50, 100, 20}, part)
	assert.Equal(t, Rect{10, 20, 100, 30}, rest)
}

func TestRect(t *testing.T) {
	r := Rect{10, 20, 30, 40}
	assert.True(t, r.Contains(Point{10, 20}))
	assert.False(t, r.Contains(Point{40, 30}), "the right edge is the neighbour's")
	assert.False(t, r.Contains(Point{20, 60}))
	assert.Equal(t, Point{25, 40}, r.Centre())
	assert.Equal(t, Rect{15, 25, 20, 30}, r.Inset(5))
	assert.Equal(t, Rect{5, 15, 40, 50}, r.Inset(-5))
	assert.Equal(t, Rect{25, 40, 0, 0}, r.Inset(50))
	assert.Equal(t, Rect{20, 30, 20, 30}, r.Intersect(Rect{20, 30, 100, 100}))
	assert.Equal(t, Rect{}, r.Intersect(Rect{40, 20, 10, 10}))
	assert.False(t, r.Overlaps(Rect{40, 20, 10, 10}), "touching is not overlapping")
	assert.Equal(t, r, r.Union(Rect{}))
}

func TestMarksTellWhatIsThere(t *testing.T) {
	s := &Scene{}
	s.Reset(200, 100, sheet)
	s.Box(Rect{10, 10, 50, 20}, 3, accent)
	s.Clip(Rect{0, 0, 100, 100})
	s.Clip(Rect{50, 50, 100, 100})
	s.Text(60, 80, 14, Bold, "Axis", ink)
	s.Unclip()
	s.Line(10, 50, 10, 70, 4, ink)
	s.Unclip()
	var p Path
	p.Circle(Point{50, 50}, 10)
	s.Stroke(&p, 2, ink)
	all := Rect{0, 0, 200, 100}
	text := Rect{60, 80 - Ascent(14, Bold), Width("Axis", 14, Bold), Ascent(14, Bold) + Descent(14, Bold)}
	assert.Equal(t, []Mark{
		{Kind: KindBox, Bounds: Rect{10, 10, 50, 20}, Colour: accent, Clip: all},
		{Kind: KindText, Bounds: text, Text: "Axis", Size: 14, Weight: Bold, Colour: ink, Clip: Rect{50, 50, 50, 50}},
		{Kind: KindLine, Bounds: Rect{8, 50, 4, 20}, Colour: ink, Clip: Rect{0, 0, 100, 100}},
		{Kind: KindStroke, Bounds: Rect{39, 39, 22, 22}, Colour: ink, Clip: all},
	}, s.Marks())
	assert.PanicsWithValue(t, "paper: Unclip without Clip", s.Unclip)
	s.Reset(10, 10, sheet)
	assert.Empty(t, s.Marks())
}

func TestPathIsCopied(t *testing.T) {
	s := &Scene{}
	s.Reset(100, 100, sheet)
	var p Path
	p.Circle(Point{50, 50}, 30)
	s.Fill(&p, ink)
	p.Reset()
	p.Circle(Point{10, 10}, 2)
	painter := NewPainter()
	painter.Paint(s, 1)
	assert.Equal(t, ink.R, painter.Image().RGBAAt(50, 50).R)
}

// A screen that is rebuilt and painted each frame without a change makes no garbage.
func TestSteadyFrameAllocatesNothing(t *testing.T) {
	s, p := &Scene{}, NewPainter()
	var dot Path
	frame := func() {
		s.Reset(100, 100, sheet)
		s.Box(Rect{10, 10, 50, 20}, 3, accent)
		s.Text(10, 80, 14, Bold, "Axis", ink)
		dot.Reset()
		dot.Circle(Point{50, 50}, 10)
		s.Fill(&dot, ink)
		p.Paint(s, 1)
	}
	frame()
	assert.Zero(t, testing.AllocsPerRun(20, frame))
}

func TestScaleMustBePositive(t *testing.T) {
	assert.Panics(t, func() { NewPainter().Paint(&Scene{}, 0) })
}
