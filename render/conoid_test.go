package render

import (
	"image"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"

	"conoid/sim/fact"
	"conoid/sim/optics"
)

// inked reports whether a pixel, or one beside it, is in the colour of the focal
// lines.
func inked(im *image.NRGBA, x, y int) bool {
	for _, d := range []image.Point{{}, {X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
		if im.NRGBAAt(x+d.X, y+d.Y) == lineColour {
			return true
		}
	}
	return false
}

// An uncorrected eye with compound myopic astigmatism, minus cylinder axis 30:
// both lines in front of the retina, the front one of the meridian of most plus,
// 120, and so across it, at 30 as the examiner sees it (Rabbetts, Clinical Visual
// Optics, 4th ed. 2007, chapter 5, from memory). The patient, who looks the other
// way, sees it at 150: running down to the right.
func TestConoidLiesAndRunsAsItShould(t *testing.T) {
	const w, h = 400, 140
	residual := optics.Rx{Sphere: -0.5, Cyl: -1, Axis: 30}.Power().Scale(-1) // an eye without a lens
	im := Conoid(residual, w, h, 1, "retina")
	c := newConoid(residual, w, h, 1)
	require.InDelta(t, 1.5, c.Front.Power, 1e-9)
	require.InDelta(t, 0.5, c.Back.Power, 1e-9)
	assert.Less(t, c.X(1.5), c.X(0.5), "the front line is nearer to the light")
	assert.Less(t, c.X(0.5), c.X(0), "and both are before the retina")
	assert.Equal(t, [2]float64{2.5, 0.5}, [2]float64{c.Reach, c.Behind})

	long := c.Interval() * c.Scale * 0.8
	dx, dy := int(long*math.Cos(math.Pi/6)), int(long*math.Sin(math.Pi/6)) // 30 degrees
	require.Greater(t, dy, 5)
	x, y := int(c.X(1.5)), int(c.Mid)
	assert.True(t, inked(im, x+dx, y+dy) && inked(im, x-dx, y-dy), "the front line runs down to the right")
	assert.False(t, inked(im, x+dx, y-dy) || inked(im, x-dx, y+dy), "and is not its mirror image")
	x = int(c.X(0.5))
	assert.True(t, inked(im, x+dy, y-dx) && inked(im, x-dy, y+dx), "the back line runs across it")
	assert.False(t, inked(im, x+dy, y+dx) || inked(im, x-dy, y-dx))

	assert.Equal(t, inkColour, im.NRGBAAt(int(c.X(0)), 4), "the retina")
}

func TestConoidOfAPoint(t *testing.T) {
	im := Conoid(optics.Power{M: 1}, 400, 140, 1, "retina")
	c := newConoid(optics.Power{M: 1}, 400, 140, 1)
	assert.True(t, inked(im, int(c.X(1))+3, int(c.Mid)))
	assert.False(t, inked(im, int(c.X(1))+10, int(c.Mid)), "no line runs anywhere")
	for _, p := range []optics.Power{{}, {M: 40, J0: -20}, {M: -3, J45: 5}} {
		assert.NotPanics(t, func() { Conoid(p, 300, 112, 2, "retina") })
	}
}

// A focus is told by its hundredths, and is on the retina below three of them.
func TestPlace(t *testing.T) {
	for d, want := range map[float64]fact.Fact{
		0: fact.New("place.on"), 0.024: fact.New("place.on"), -0.024: fact.New("place.on"),
		0.026:  fact.New("place.before", "power", fact.Amount(0.03)),
		-0.026: fact.New("place.behind", "power", fact.Amount(0.03)),
	} {
		assert.Equal(t, want, Place(d), d)
	}
}

func TestLinesAreNoWiderThanTheyMay(t *testing.T) {
	f := typeOf(15)
	got := lines(f, "the bars across the arrow are crisper than those along it", 120)
	assert.Greater(t, len(got), 2)
	for _, l := range got {
		assert.LessOrEqual(t, font.MeasureString(f, l).Ceil(), 120, l)
	}
	assert.Equal(t, []string{"unbreakableness"}, lines(f, " unbreakableness ", 10))
	assert.Empty(t, lines(f, " ", 10))
}
