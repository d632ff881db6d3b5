package render

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"conoid/assets"
	"conoid/sim/chart"
)

// WithLabels is the chart with its labels drawn as shapes of its first layer,
// so that an eye blurs them like everything else. The chart itself stays as it
// is.
func WithLabels(c chart.Drawing) chart.Drawing {
	if len(c.Labels) == 0 || len(c.Layers) == 0 {
		return c
	}
	paper := c.Layers[0]
	shapes := slices.Clone(paper.Shapes)
	for _, l := range c.Labels {
		shapes = append(shapes, lettering(l, -paper.Ground))
	}
	paper.Shapes = shapes
	c.Layers = append([]chart.Layer{paper}, c.Layers[1:]...)
	c.Labels = nil
	return c
}

// lettering is the outline of a label: its capitals and figures are Size high,
// and the ink is centred on At.
func lettering(l chart.Label, value float64) chart.Shape {
	f := face()
	var paths [][]chart.Point
	var pen float64
	for _, r := range l.Text {
		glyph, advance := f.glyph(r)
		for _, path := range glyph {
			for i := range path {
				path[i].X += pen
			}
			paths = append(paths, path)
		}
		pen += advance
	}
	left, right := extent(paths)
	word := chart.Shape{Paths: paths, Value: value}
	k := l.Size / f.capitals
	return chart.Scale(word, k, chart.Point{
		X: l.At.X - k*(left+right)/2,
		Y: l.At.Y - l.Size/2,
	})
}

// extent is how far paths reach to the left and to the right.
func extent(paths [][]chart.Point) (left, right float64) {
	left, right = math.Inf(1), math.Inf(-1)
	for _, path := range paths {
		for _, p := range path {
			left, right = min(left, p.X), max(right, p.X)
		}
	}
	if left > right {
		return 0, 0
	}
	return left, right
}

// typeface is the project's font. Its lengths are in units of the font, with y
// up.
type typeface struct {
	font     *sfnt.Font
	capitals float64 // height of the capitals, and of the figures
}

// face is read once. Its glyphs are small; nothing else is kept.
var face = sync.OnceValue(func() *typeface {
	parsed, err := sfnt.Parse(assets.Font())
	if err != nil {
		panic(fmt.Sprintf("render: the font cannot be read: %v", err))
	}
	f := &typeface{font: parsed}
	capital, _ := f.glyph('H')
	for _, p := range capital[0] {
		f.capitals = max(f.capitals, p.Y)
	}
	return f
})

// glyph is the outline of a letter that stands at the origin, its outer paths
// counter-clockwise and its holes clockwise, and the place of the next letter.
// A letter that the font lacks is drawn as the font's empty box.
func (f *typeface) glyph(r rune) (outline [][]chart.Point, advance float64) {
	var buf sfnt.Buffer
	whole := fixed.Int26_6(f.font.UnitsPerEm()) // so that lengths come in units of the font
	index, err := f.font.GlyphIndex(&buf, r)
	if err != nil {
		index = 0
	}
	segments, err := f.font.LoadGlyph(&buf, index, whole, nil)
	if err != nil {
		panic(fmt.Sprintf("render: the font has no outline for %q: %v", r, err))
	}
	outline = flattened(segments)
	wide, err := f.font.GlyphAdvance(&buf, index, whole, font.HintingNone)
	if err != nil {
		panic(fmt.Sprintf("render: the font has no width for %q: %v", r, err))
	}
	return outline, float64(wide)
}

// chords is the number of straight pieces that stand for one curve of a glyph:
// in the largest lettering of a picture they stray by less than a tenth of a
// pixel.
const chords = 8

// flattened turns the segments of a glyph, whose y is down, into closed paths
// with y up.
func flattened(segments sfnt.Segments) [][]chart.Point {
	var paths [][]chart.Point
	var at chart.Point
	for _, s := range segments {
		var to [3]chart.Point
		for i, a := range s.Args {
			to[i] = chart.Point{X: float64(a.X), Y: -float64(a.Y)}
		}
		if s.Op == sfnt.SegmentOpMoveTo {
			paths = append(paths, nil)
		}
		last := &paths[len(paths)-1]
		switch s.Op {
		case sfnt.SegmentOpMoveTo, sfnt.SegmentOpLineTo:
			*last = append(*last, to[0])
			at = to[0]
		case sfnt.SegmentOpQuadTo:
			for i := 1; i <= chords; i++ {
				t := float64(i) / chords
				*last = append(*last, between(between(at, to[0], t), between(to[0], to[1], t), t))
			}
			at = to[1]
		case sfnt.SegmentOpCubeTo:
			panic("render: a TrueType font has no cubic curves")
		}
	}
	for _, path := range paths {
		slices.Reverse(path) // outer paths are clockwise in a TrueType font, counter-clockwise on a chart
	}
	return paths
}

func between(a, b chart.Point, t float64) chart.Point {
	return chart.Point{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y)}
}
