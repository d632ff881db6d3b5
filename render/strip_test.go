package render

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"conoid/sim/optics"
)

// stripOf is the plan of lines at two vergences, the front one at an angle.
func stripOf(front, back float64, b Box) Strip {
	return NewStrip(optics.Rx{Sphere: back, Cyl: front - back, Axis: 30}.Power(), b)
}

var stripBox = Box{Left: 10, Right: 410, Top: 20, Bottom: 140}

// What is less than a quarter of the smallest cylinder apart is a point.
func TestStripOfAPoint(t *testing.T) {
	assert.True(t, stripOf(1+Stigmatic-0.001, 1, stripBox).Point())
	assert.False(t, stripOf(1+Stigmatic+0.001, 1, stripBox).Point())
}

// Sturm's conoid to scale (its geometry is that of any textbook of optics; here
// Rabbetts, Clinical Visual Optics, 4th ed. 2007, chapter 5, from memory): the edges
// of both bundles are straight and equally steep, each bundle is a line where the
// other is as wide as the interval, and they cross halfway, at the mean sphere, where
// the section is a circle of half that size.
func TestStripIsToScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		front := rapid.Float64Range(-4, 4).Draw(t, "front")
		back := front - rapid.Float64Range(0.1, 4).Draw(t, "interval")
		s := stripOf(front, back, stripBox)
		up, down := s.Edges(s.Front)
		up2, down2 := s.Edges(s.Back)
		for _, edge := range [][3][2]float64{up, down, up2, down2} {
			for i := range 2 {
				if dx := edge[i+1][0] - edge[i][0]; dx > 1e-6 {
					assert.InDelta(t, s.Scale/s.along, math.Abs(edge[i+1][1]-edge[i][1])/dx, 1e-6, "straight, and as steep as the others")
				}
			}
		}
		middle := (front + back) / 2
		assert.InDelta(t, s.X(middle), crossing(down, up2), 1e-6, "they cross at the circle of least confusion")
		assert.InDelta(t, s.Residual.M, middle, 1e-9)
		a, b := s.Section(middle)
		assert.InDelta(t, a, b, 1e-9, "a circle")
		assert.InDelta(t, s.Least(), a, 1e-9)
		assert.InDelta(t, 2*s.Least(), s.Interval()*s.Scale, 1e-9, "half of either line")

		for _, l := range []optics.FocalLine{s.Front, s.Back} {
			from, to := s.Stroke(l)
			long, wide := math.Hypot(to[0]-from[0], to[1]-from[1])/2, s.Wide(s.Front, l.Power)+s.Wide(s.Back, l.Power)
			assert.InDelta(t, wide, long, 1e-9, "a line is as long as the other light is wide there")
		}
		a, b = s.Section(0)
		assert.InDelta(t, math.Abs(back)*s.Scale, a, 1e-9, "one point on the retina, along the front line")
		assert.InDelta(t, math.Abs(front)*s.Scale, b, 1e-9, "and along the back line")
		assert.LessOrEqual(t, max(a, b), 0.92*60+1e-9, "it fits")
	})
}

// crossing is where the edges of two bundles cross between their lines.
func crossing(front, back [3][2]float64) float64 {
	p, q, r, s := front[1], front[2], back[0], back[1]
	m, n := (q[1]-p[1])/(q[0]-p[0]), (s[1]-r[1])/(s[0]-r[0])
	return (r[1] - p[1] + m*p[0] - n*r[0]) / (m - n)
}

// The scale across: the wider bundle fills 92 % of the height, or of what has to fit;
// small errors are not blown up beyond half a dioptre; no edge is steeper than 31 %.
func TestScaleOfAStrip(t *testing.T) {
	steep := Box{Right: 4000, Bottom: 100, Reach: 3, Behind: 1} // 1000 to the dioptre
	assert.InDelta(t, 0.92*50/2, stripOf(2, 1, steep).Scale, 1e-9)
	assert.InDelta(t, 0.92*50/2, stripOf(1, -2, steep).Scale, 1e-9)
	assert.InDelta(t, 0.92*50/0.5, stripOf(0.49, 0, steep).Scale, 1e-9)
	assert.InDelta(t, 0.92*50/0.51, stripOf(0.51, 0, steep).Scale, 1e-9)
	steep.Most = 30
	assert.InDelta(t, 0.92*30/2, stripOf(2, 1, steep).Scale, 1e-9)
	assert.InDelta(t, 0.31*10, stripOf(2, 1, Box{Right: 40, Bottom: 100, Reach: 3, Behind: 1}).Scale, 1e-9)
}

// The ruler goes beyond both lines, and does not move with every lens.
func TestRulerOfAStrip(t *testing.T) {
	ends := func(front, back float64) [2]float64 {
		s := stripOf(front, back, stripBox)
		assert.InDelta(t, stripBox.Left, s.X(s.Reach), 1e-9)
		assert.InDelta(t, stripBox.Right, s.X(-s.Behind), 1e-9)
		assert.InDelta(t, 0.3, s.Power(s.X(0.3)), 1e-9)
		return [2]float64{s.Reach, s.Behind}
	}
	assert.Equal(t, [2]float64{1.5, 0.5}, ends(1.1, 0))
	assert.Equal(t, [2]float64{2.5, 0.5}, ends(1.11, -0.09))
	assert.Equal(t, [2]float64{1.5, 1.5}, ends(0, -0.11))
	assert.Equal(t, [2]float64{1.5, 5.5}, ends(-3, -5))

	named := func(room, right float64) (out []float64) {
		b := stripBox
		b.Right = right
		for _, tick := range stripOf(2, 0, b).Ticks(room) {
			if tick.Named {
				out = append(out, tick.Power)
			}
		}
		return out
	}
	assert.Equal(t, []float64{0.5, 1, 1.5, 2}, named(60, 10+3*120.0), "60 to half a dioptre")
	assert.Equal(t, []float64{1, 2}, named(60, 10+3*119.0))
	marks := stripOf(2, 0, Box{Right: 3 * 32}).Ticks(1000)
	assert.Equal(t, 0.25, marks[1].Power-marks[0].Power, "8 to a quarter")
	marks = stripOf(2, 0, Box{Right: 3 * 31}).Ticks(1000)
	assert.Equal(t, 0.5, marks[1].Power-marks[0].Power)
	assert.Equal(t, []int{1, 2}, []int{marks[0].Size, marks[1].Size})
}
