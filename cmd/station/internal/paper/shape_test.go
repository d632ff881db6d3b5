package paper

import (
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// inked paints black marks on white and gives the painter and the black area in device pixels.
func inked(w, h, scale float64, lay func(s *Scene, black color.NRGBA)) (*Painter, float64) {
	s := &Scene{}
	s.Reset(w, h, color.NRGBA{255, 255, 255, 255})
	lay(s, color.NRGBA{0, 0, 0, 255})
	p := NewPainter()
	p.Paint(s, scale)
	sum := 0.0
	for i := 0; i < len(p.Image().Pix); i += 4 {
		sum += float64(255-p.Image().Pix[i]) / 255
	}
	return p, sum
}

// Areas by elementary geometry.
func TestAreas(t *testing.T) {
	open := func(pts ...Point) *Path {
		p := &Path{}
		for _, q := range pts {
			p.LineTo(q.X, q.Y)
		}
		return p
	}
	circle := &Path{}
	circle.Circle(Point{50.3, 49.8}, 30)
	tiny := &Path{}
	tiny.Circle(Point{50, 50}, 3)
	for name, c := range map[string]struct {
		want float64
		lay  func(s *Scene, black color.NRGBA)
	}{
		"triangle":            {40 * 30 / 2, func(s *Scene, k color.NRGBA) { s.Fill(open(Point{10, 10}, Point{50, 10}, Point{37, 40}), k) }},
		"circle":              {math.Pi * 900, func(s *Scene, k color.NRGBA) { s.Fill(circle, k) }},
		"ring":                {math.Pi * (32*32 - 28*28), func(s *Scene, k color.NRGBA) { s.Stroke(circle, 4, k) }},
		"pen over its centre": {math.Pi * 11 * 11, func(s *Scene, k color.NRGBA) { s.Stroke(tiny, 16, k) }},
		"round ends":          {50*6 + math.Pi*9, func(s *Scene, k color.NRGBA) { s.Stroke(open(Point{20, 20}, Point{50, 60}), 6, k) }},
		"dot":                 {math.Pi * 25, func(s *Scene, k color.NRGBA) { s.Stroke(open(Point{20, 20}, Point{20, 20}), 10, k) }},
		"corner":              {30*8 + 30*8 - 16 + math.Pi*16 + math.Pi*4, func(s *Scene, k color.NRGBA) { s.Stroke(open(Point{20, 50}, Point{20, 20}, Point{50, 20}), 8, k) }},
		"square line":         {50 * 6, func(s *Scene, k color.NRGBA) { s.Line(20, 20, 50, 60, 6, k) }},
		"level line":          {30 * 2, func(s *Scene, k color.NRGBA) { s.Line(20, 20, 50, 20, 2, k) }},
		"rounded box":         {40*20 - (4-math.Pi)*25, func(s *Scene, k color.NRGBA) { s.Box(Rect{5, 5, 40, 20}, 5, k) }},
		"rounded frame": {40*60 - (4-math.Pi)*25 - (36*56 - (4-math.Pi)*9),
			func(s *Scene, k color.NRGBA) { s.Frame(Rect{5, 5, 40, 60}, 5, 2, k) }},
		"all frame": {40*20 - (4-math.Pi)*9, func(s *Scene, k color.NRGBA) { s.Frame(Rect{5, 5, 40, 20}, 3, 1e300, k) }},
		"off paper": {math.Pi * 50 * 50 / 4, func(s *Scene, k color.NRGBA) { s.Box(Rect{-400, -400, 450, 450}, 50, k) }},
		"frame":     {40*60 - 36*56, func(s *Scene, k color.NRGBA) { s.Frame(Rect{5, 5, 40, 60}, 0, 2, k) }},
	} {
		for _, scale := range []float64{1, 2} {
			_, got := inked(100, 100, scale, c.lay)
			assert.InEpsilon(t, c.want*scale*scale, got, 0.006, "%s at scale %g", name, scale)
		}
	}
}

func TestNothingToStroke(t *testing.T) {
	_, got := inked(50, 50, 1, func(s *Scene, k color.NRGBA) {
		var p Path
		p.MoveTo(10, 10)
		p.MoveTo(20, 20) // moved to, never drawn
		s.Stroke(&p, 8, k)
		s.Stroke(&Path{}, 8, k)
		s.Line(5, 5, 5, 5, 3, k)
		s.Fill(&p, k)
	})
	assert.Zero(t, got)
}

func TestTranslucentStrokeCoversOnce(t *testing.T) {
	// Where two edges lie on each other their part coverages add, so only full ones are looked at.
	half := color.NRGBA{0, 0, 0, 128}
	p, _ := inked(60, 60, 1, func(s *Scene, _ color.NRGBA) {
		var q Path
		q.MoveTo(10, 10)
		q.LineTo(50, 50)
		q.LineTo(50, 10)
		q.LineTo(10, 50)
		s.Stroke(&q, 8, half)
	})
	assert.Equal(t, uint8(127), p.Image().RGBAAt(30, 30).R, "where it crosses")
	assert.Equal(t, uint8(127), p.Image().RGBAAt(50, 30).R, "where it does not")
}

func TestArcRunsClockwiseToTheEye(t *testing.T) {
	var q Path
	q.Arc(Point{50, 50}, 30, 0, math.Pi/2)
	p, _ := inked(100, 100, 1, func(s *Scene, k color.NRGBA) { s.Stroke(&q, 6, k) })
	assert.Zero(t, p.Image().RGBAAt(71, 71).R, "right and below")
	assert.NotZero(t, p.Image().RGBAAt(71, 29).R, "right and above")
}

// Area pi a b; the long axis runs where it was turned to, counter-clockwise to the eye.
func TestEllipseIsTurned(t *testing.T) {
	var q Path
	q.Ellipse(Point{50, 50}, 40, 10, math.Pi/6)
	p, area := inked(100, 100, 1, func(s *Scene, k color.NRGBA) { s.Fill(&q, k) })
	assert.InDelta(t, math.Pi*40*10, area, 5)
	assert.Zero(t, p.Image().RGBAAt(50+31, 50-18).R, "36 along 30 degrees: right and above")
	assert.NotZero(t, p.Image().RGBAAt(50+31, 50+18).R, "and not below")
	assert.NotZero(t, p.Image().RGBAAt(50+37, 50-21).R, "no longer than that")
}

func TestBoxesAreSharp(t *testing.T) {
	for _, scale := range []float64{1, 1.25, 1.5, 2} {
		p, _ := inked(100, 100, scale, func(s *Scene, k color.NRGBA) {
			s.Box(Rect{10.3, 10.4, 30.7, 20}, 0, k)
			s.Frame(Rect{50.3, 10.4, 30, 20}, 0, 1, k)
			s.Line(10, 50.5, 90, 50.5, 1, k)
			s.Line(60.2, 55, 60.2, 95, 0.2, k)
			s.Box(Rect{10, 70, 20, 0.1}, 0, k)
		})
		shades := map[uint8]bool{}
		for i := 0; i < len(p.Image().Pix); i += 4 {
			shades[p.Image().Pix[i]] = true
		}
		assert.Equal(t, map[uint8]bool{0: true, 255: true}, shades, "scale %g", scale)
		y := int(math.Floor(70.05 * scale))
		assert.Zero(t, p.Image().RGBAAt(int(15*scale), y).R, "a thin box is seen at scale %g", scale)
	}
}

// The rows of a tall box that are computed once must be those computed each for itself, within the
// one level that the rasterizer's rounding depends on where a strip begins.
func TestTallBoxIsNoShortcut(t *testing.T) {
	var z raster
	var tall, flat outline
	same := func(q Point) Point { return q }
	var p Path
	p.Rect(Rect{3, 2, 40, 90}, 9)
	tall.addPath(p.verbs, p.points, same)
	p.Reset()
	p.Rect(Rect{3, 2, 40, 19}, 9)
	flat.addPath(p.verbs, p.points, same)
	region := outward(Rect{3, 2, 40, 90})
	want, got := z.mask(&tall, region), z.tallMask(&flat, region, 9)
	require.Len(t, got.rows, 90)
	for y := range want.rows {
		assert.InDeltaSlice(t, unpacked(want, y), unpacked(got, y), 1, "row %d", y)
	}
}

// unpacked is a row of a mask with each pixel's coverage.
func unpacked(m *mask, y int) []uint8 {
	row := make([]uint8, m.box.Max.X)
	for _, u := range m.runs[m.rows[y].from:m.rows[y].to] {
		for i := range u.n {
			row[u.x+i] = 255
			if u.at >= 0 {
				row[u.x+i] = m.cover[u.at+i]
			}
		}
	}
	return row
}

func TestRunsKeepTheRow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		row := rapid.SliceOf(rapid.SampledFrom([]uint8{0, 0, 255, 255, 255, 7, 254})).Draw(t, "row")
		n := rapid.IntRange(0, 20).Draw(t, "stretch")
		for range n {
			row = append(row, 255)
		}
		m := &mask{}
		m.box.Max.X = len(row)
		m.addRow(0, row)
		if got := unpacked(m, 0); string(got) != string(row) {
			t.Fatalf("%v became %v", row, got)
		}
	})
}

// A shape that goes far beyond the paper must look as if it ended just beyond.
func TestFarShapes(t *testing.T) {
	wedge := func(far float64) *Painter {
		p, _ := inked(100, 100, 1, func(s *Scene, k color.NRGBA) {
			var q Path
			q.MoveTo(50, 50)
			q.LineTo(50+far, 50-far/3)
			q.LineTo(50+far, 50+far/3)
			s.Fill(&q, k)
		})
		return p
	}
	near, far := wedge(60), wedge(900000)
	for x := range 100 {
		for y := range 100 {
			a, b := near.Image().RGBAAt(x, y), far.Image().RGBAAt(x, y)
			require.LessOrEqual(t, apartBy(a, b), 8, "at %d, %d", x, y)
		}
	}
}

// Whatever numbers come, the painter paints: no panic, and an opaque image.
func TestWildNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wild := rapid.SampledFrom([]float64{0, -1, 1, 20.5, 1e-9, -1e-9, 299, 5e4, -9e5, 1e6, 1e300, math.Inf(1), math.Inf(-1), math.NaN()})
		v := func() float64 { return wild.Draw(t, "v") }
		s := &Scene{}
		s.Reset(60, 40, sheet)
		for range 3 {
			var p Path
			p.LineTo(v(), v())
			p.QuadTo(v(), v(), v(), v())
			p.CubeTo(v(), v(), v(), v(), v(), v())
			p.Close()
			p.Arc(Point{v(), v()}, v(), v(), v())
			p.Rect(Rect{v(), v(), v(), v()}, v())
			s.Fill(&p, ink)
			s.Stroke(&p, v(), veil)
			s.Box(Rect{v(), v(), v(), v()}, v(), ink)
			s.Frame(Rect{v(), v(), v(), v()}, v(), v(), veil)
			s.Line(v(), v(), v(), v(), v(), ink)
			s.Text(v(), v(), v(), Bold, "Wolf", ink)
			s.TextTurned(Point{v(), v()}, v(), v(), Regular, "Wolf", ink)
			s.Picture(Rect{v(), v(), v(), v()}, shared, 1)
			s.Clip(Rect{v(), v(), v(), v()})
		}
		p := NewPainter()
		p.Paint(s, 1.5)
		for i := 3; i < len(p.Image().Pix); i += 4 {
			if p.Image().Pix[i] != 255 {
				t.Fatal("not opaque")
			}
		}
	})
}
