package chart_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
)

var dials = []struct {
	name   chart.Name
	step   float64
	spokes int
	width  float64
}{
	// Every 10 and every 30 degrees, and lines as wide as the limb of an 18 m
	// letter (one minute of arc from there) seen from 6 m: common practice. The
	// sunburst's numbers are the project's.
	{chart.Fan, 10, 19, 18.0 / 6},
	{chart.Clock, 30, 12, 18.0 / 6},
	{chart.Sunburst, 5, 72, 12.0 / 6},
}

func marks(n chart.Name) []chart.Line { return chart.Named(n).Marks(chart.Hung{}) }

func TestDialLines(t *testing.T) {
	for _, d := range dials {
		t.Run(string(d.name), func(t *testing.T) {
			lines := marks(d.name)
			require.Len(t, lines, int(180/d.step))
			for i, l := range lines {
				assert.InDelta(t, float64(i)*d.step, l.Angle, 1e-9)
				assert.InDelta(t, l.Angle, direction(l.Centre), 1e-9, "a line lies on its own radius")
				assert.Equal(t, d.width, l.Width)
				assert.Equal(t, 1, l.Bars)
				assert.Zero(t, l.Period)
			}
		})
	}
}

// What is judged is what is drawn.
func TestDialDrawsItsLines(t *testing.T) {
	for _, d := range dials {
		t.Run(string(d.name), func(t *testing.T) {
			shapes := drawn(d.name, chart.Hung{Labels: chart.ByAxis}).Layers[0].Shapes
			require.Len(t, shapes, d.spokes)
			for i, l := range marks(d.name) {
				assert.Equal(t, shapes[i], l.Shape())
			}
			drawn := map[float64]int{}
			for _, s := range shapes {
				drawn[spokeDirection(s)]++
			}
			for phi := range d.spokes {
				assert.Equal(t, 1, drawn[float64(phi)*d.step], "spoke at %v degrees", float64(phi)*d.step)
			}
		})
	}
}

// spokeDirection is where the middle of a bar lies, whole degrees in [0, 360).
func spokeDirection(s chart.Shape) float64 {
	var sum chart.Point
	for p := range points(s) {
		sum.X += p.X
		sum.Y += p.Y
	}
	return math.Mod(math.Round(direction(sum))+360, 360)
}

// Neighbours must stay apart to be told apart: by more than a line's width on
// the fan and the clock dial, by a line's width on the finer sunburst.
func TestDialLinesStayApart(t *testing.T) {
	for _, d := range dials {
		l := marks(d.name)[0]
		inner := math.Hypot(l.Centre.X, l.Centre.Y) - l.Length/2
		gap := 2*inner*math.Sin(d.step/2*math.Pi/180) - l.Width
		assert.GreaterOrEqual(t, gap, l.Width, d.name)
		if d.name != chart.Sunburst {
			assert.Greater(t, gap, l.Width, d.name)
		}
	}
}

// The figures of open sans serif faces are a little over three quarters as
// wide as high, the space around them included.
const figureWidth = 0.78

func TestLabelsHaveRoom(t *testing.T) {
	for _, d := range chart.All() {
		if d.Kind != chart.DialChart {
			continue
		}
		for _, labels := range []chart.Labels{chart.ByAxis, chart.ByHour} {
			c := d.Draw(chart.Hung{Labels: labels})
			for i, a := range c.Labels {
				box := labelBox(a)
				for p := range points(box) {
					assert.LessOrEqual(t, math.Hypot(p.X, p.Y), c.Radius, "%s: %s", d.Name, a.Text)
				}
				for _, b := range c.Labels[:i] {
					wide := float64(len(a.Text)+len(b.Text)) / 2 * a.Size * figureWidth
					clear := math.Abs(a.At.X-b.At.X) > wide || math.Abs(a.At.Y-b.At.Y) > a.Size
					assert.True(t, clear, "%s: %s and %s", d.Name, a.Text, b.Text)
				}
				for p := range points(c.Layers[0].Shapes...) {
					assert.False(t, covers(box, p), "%s: %s on a line", d.Name, a.Text)
				}
			}
		}
	}
}

func labelBox(l chart.Label) chart.Shape {
	return chart.Line{
		Width: l.Size, Length: float64(len(l.Text)) * l.Size * figureWidth, Bars: 1, Centre: l.At,
	}.Shape()
}
