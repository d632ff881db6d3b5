package home

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/optics"
)

// Sphere, cylinder and axis as the steppers show them are what a lens would have to
// undo: fog is where the back line lies, the cylinder the interval, and the front line
// runs along the axis of the minus cylinder (Rabbetts, Clinical Visual Optics, 4th ed.
// 2007, chapter 5, from memory).
func TestWhatIsLeftOfThePlay(t *testing.T) {
	p := play{front: 1.25, back: 0.5, axis: 35}
	front, back := p.residual().FocalLines()
	assert.InDelta(t, 1.25, front.Power, 1e-9)
	assert.InDelta(t, 0.5, back.Power, 1e-9)
	assert.InDelta(t, 35, front.Angle, 1e-9)
	assert.InDelta(t, 125, back.Angle, 1e-9)
}

// Lines that come closer than what is told as two have met, and the one that is moved
// takes the other along; neither leaves the ruler.
func TestLinesMeetInTheHand(t *testing.T) {
	p := play{front: 1, back: 0.25}
	for _, c := range []struct {
		line        *float64
		to          float64
		front, back float64
	}{
		{&p.front, 0.36, 0.35, 0.25},
		{&p.front, 0.30, 0.30, 0.30}, // 0.05 D apart is one point
		{&p.front, -0.2, -0.2, -0.2},
		{&p.back, 0.5, 0.5, 0.5},
		{&p.back, -3, 0.5, -1},
		{&p.front, 7, 2, -1},
	} {
		p.move(c.line, c.to)
		assert.InDeltaSlice(t, []float64{c.front, c.back}, []float64{p.front, p.back}, 1e-9, "%+v", c)
	}
}

func TestSteppersStayOnTheRuler(t *testing.T) {
	p := play{front: 1.5, back: 0.5}
	p.fog(0.25)
	assert.Equal(t, []float64{1.75, 0.75}, []float64{p.front, p.back})
	p.fog(1)
	assert.Equal(t, []float64{2, 1}, []float64{p.front, p.back})
	p.fog(-5)
	assert.Equal(t, []float64{0, -1}, []float64{p.front, p.back})
	p.cylinder(9)
	assert.Equal(t, []float64{2, -1}, []float64{p.front, p.back})
	p.cylinder(-2.95)
	assert.Equal(t, -1.0, p.front, "they have met")
}

// seenBy is how black each line of the fan is in the middle of its outer part, by its
// label, from 0 for paper to 1.
func seenBy(left optics.Power, fine bool) map[int]float64 {
	f := &fan{}
	f.paint(look{left, fine}, nil)
	g := grids()[0]
	if fine {
		g = grids()[1]
	}
	out := map[int]float64{}
	for label := 10; label <= 180; label += 10 {
		sin, cos := math.Sincos(float64(90-label) * math.Pi / 180)
		if sin < 0 {
			sin, cos = -sin, -cos
		}
		sum := 0.0
		for r := 62.0; r < 70; r += 0.5 {
			x, y := g.N/2+int(math.Round(r*cos/g.Pitch)), g.N/2-int(math.Round(r*sin/g.Pitch))
			sum += 1 - float64(f.image.NRGBAAt(x, y).R)/255
		}
		out[label] = sum / 16
	}
	return out
}

// What it teaches: in fog the lines along the back focal line, those at the axis, are
// the blackest; with both lines together all are equally black; on the retina they are
// sharp. In the coarse picture too.
func TestThePlayTeaches(t *testing.T) {
	for _, fine := range []bool{false, true} {
		p := play{front: 1.25, back: 0.1, axis: 40}
		fogged := seenBy(p.residual(), fine)
		for label, black := range fogged {
			if label != 40 {
				assert.Less(t, black, fogged[40], "%v", label)
			}
		}
		assert.Less(t, fogged[130], 0.5*fogged[40])

		p.move(&p.front, 0.1)
		p.fog(0.4)
		most, least := 0.0, 1.0
		for _, black := range seenBy(p.residual(), fine) {
			most, least = max(most, black), min(least, black)
		}
		assert.Less(t, most-least, 0.05, "alike")

		p.fog(-0.5)
		for label, black := range seenBy(p.residual(), fine) {
			assert.Greater(t, black, most+0.2, "%v is sharp", label)
		}
	}
}

// Wherever the lines are taken, there is a picture.
func TestEveryPlaceOfTheLinesHasAPicture(t *testing.T) {
	for _, p := range []play{{front: furthest, back: furthest, axis: 10}, {front: furthest, back: -behind, axis: 100}, {front: -behind, back: -behind, axis: 180}} {
		for _, fine := range []bool{false, true} {
			assert.NotPanics(t, func() { seenBy(p.residual(), fine) }, "%+v", p)
		}
	}
}
