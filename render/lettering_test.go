package render

import (
	"image"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/chart"
)

func TestFiguresAreAsHighAsTheLabelSays(t *testing.T) {
	for _, text := range []string{"1", "7", "10", "170", "H"} {
		s := lettering(chart.Label{At: chart.Point{X: 20, Y: -30}, Size: 5, Text: text}, -1)
		left, right := extent(s.Paths)
		low, high := math.Inf(1), math.Inf(-1)
		for _, path := range s.Paths {
			for _, p := range path {
				low, high = min(low, p.Y), max(high, p.Y)
			}
		}
		assert.InDelta(t, 5, high-low, 0.25, "%s", text) // round figures stand out a little, above and below
		assert.InDelta(t, -30, (low+high)/2, 0.1, "%s", text)
		assert.InDelta(t, 20, (left+right)/2, 1e-9, "%s", text)
		assert.Equal(t, -1.0, s.Value)
	}
}

// Ink is counter-clockwise and holes are clockwise, as chart.Shape.Area counts
// them: an 8 has two holes, and a figure that is mirrored runs the wrong way.
func TestOutlinesTurnTheRightWay(t *testing.T) {
	turn := func(path []chart.Point) (twice float64) {
		for i, b := range path {
			a := path[(i+len(path)-1)%len(path)]
			twice += a.X*b.Y - b.X*a.Y
		}
		return twice
	}
	for r, holes := range map[rune]int{'1': 0, '4': 1, '6': 1, '8': 2} {
		outline, _ := face().glyph(r)
		ink := 0
		for _, path := range outline {
			if turn(path) > 0 {
				ink++
			}
		}
		assert.Equal(t, holes, len(outline)-ink, "%c", r)
		assert.Positive(t, ink, "%c", r)
	}
}

// A 7 has its beam on top and stands on a foot that is to the left of its
// middle; mirrored or upside down it does not.
func TestFiguresAreNotMirrored(t *testing.T) {
	im := Sharp(chart.Drawing{
		Layers: []chart.Layer{{Ground: 1}},
		Labels: []chart.Label{{Size: 60, Text: "7"}},
	}, 100, 100)
	left, right := dark(im, image.Rect(0, 50, 50, 100)), dark(im, image.Rect(50, 50, 100, 100))
	assert.Greater(t, left, 2*right, "the foot of a 7 stands to the left")
	assert.Greater(t, dark(im, image.Rect(0, 0, 100, 50)), left+right, "and its beam on top")
}

func TestWithLabelsLeavesTheChartAlone(t *testing.T) {
	c := chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis})
	spokes := len(c.Layers[0].Shapes)
	with := WithLabels(c)
	assert.Len(t, c.Layers[0].Shapes, spokes)
	assert.NotEmpty(t, c.Labels)
	assert.Len(t, with.Layers[0].Shapes, spokes+len(c.Labels))
	assert.Empty(t, with.Labels)
	assert.Equal(t, chart.Named(chart.Duochrome).Draw(chart.Hung{}), WithLabels(chart.Named(chart.Duochrome).Draw(chart.Hung{})))
}

// Shapes of a layer must not overlap, or the eye would see ink blacker than
// black.
func TestLabelsKeepClear(t *testing.T) {
	for name, c := range map[string]chart.Drawing{
		"fan": chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}), "clock": chart.Named(chart.Clock).Draw(chart.Hung{Labels: chart.ByHour}), "sunburst": chart.Named(chart.Sunburst).Draw(chart.Hung{Labels: chart.ByAxis}),
		"hours": chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByHour}), "axes": chart.Named(chart.Clock).Draw(chart.Hung{Labels: chart.ByAxis}),
	} {
		const size = 1024
		covered := make([]float64, size*size)
		for _, s := range WithLabels(c).Layers[0].Shapes {
			cover(s, size, size/(2*c.Radius), func(k int, share float64) { covered[k] += share })
		}
		var most, outside float64
		for k, v := range covered {
			most = max(most, v)
			if x, y := float64(k%size)-size/2, float64(k/size)-size/2; math.Hypot(x, y) > size/2+1 {
				outside = max(outside, v)
			}
		}
		assert.InDelta(t, 1, most, 0.02, "%s: ink on ink", name)
		assert.Zero(t, outside, "%s: ink outside the radius", name)
	}
}

func TestUnknownLettersAreBoxes(t *testing.T) {
	outline, advance := face().glyph('\U0001F441')
	assert.NotEmpty(t, outline)
	assert.Positive(t, advance)
	assert.Empty(t, lettering(chart.Label{Size: 5, Text: " "}, 1).Paths)
}
