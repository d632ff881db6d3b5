package render

import (
	"image"
	"image/color"
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
	im := Conoid(residual, w, h, "retina")
	c := newConoid(residual, w, h)
	require.InDelta(t, 1.5, c.Front.Power, 1e-9)
	require.InDelta(t, 0.5, c.Back.Power, 1e-9)
	assert.Less(t, c.X(1.5), c.X(0.5), "the front line is nearer to the light")
	assert.Less(t, c.X(0.5), c.X(0), "and both are before the retina")
	assert.InDelta(t, w/2, c.X(0), 1)

	const dx, dy = 26, 15 // 30 degrees
	x, y := int(c.X(1.5)), int(c.Mid)
	assert.True(t, inked(im, x+dx, y+dy) && inked(im, x-dx, y-dy), "the front line runs down to the right")
	assert.False(t, inked(im, x+dx, y-dy) || inked(im, x-dx, y+dy), "and is not its mirror image")
	x = int(c.X(0.5))
	assert.True(t, inked(im, x+dy, y-dx) && inked(im, x-dy, y+dx), "the back line runs across it")
	assert.False(t, inked(im, x+dy, y+dx) || inked(im, x-dy, y-dx))

	assert.Equal(t, inkColour, im.NRGBAAt(w/2, 4), "the retina stands in the middle")
}

func TestConoidOfAPoint(t *testing.T) {
	im := Conoid(optics.Power{M: 1}, 400, 140, "retina")
	c := newConoid(optics.Power{M: 1}, 400, 140)
	assert.True(t, inked(im, int(c.X(1))+3, int(c.Mid)))
	assert.False(t, inked(im, int(c.X(1))+30, int(c.Mid)), "no line runs anywhere")
	for _, p := range []optics.Power{{}, {M: 40, J0: -20}, {M: -3, J45: 5}} {
		assert.NotPanics(t, func() { Conoid(p, 300, 112, "retina") })
	}
}

// The plan of the strip: what is less than a quarter of the smallest cylinder apart
// is a point, and the ruler's figures leave room for the retina's name.
func TestStrip(t *testing.T) {
	of := func(interval float64) Strip {
		return NewStrip(optics.Rx{Sphere: -1, Cyl: interval, Axis: 30}.Power(), 0, 200, 0, 60, 20)
	}
	assert.True(t, of(Stigmatic-0.001).Point())
	s := of(Stigmatic + 0.001)
	assert.False(t, s.Point())
	assert.Equal(t, 20.0, s.Half, "no longer than is wanted")
	assert.Equal(t, 3.0, s.Least())
	least := func(j0 float64) float64 { return NewStrip(optics.Power{J0: j0}, 0, 200, 0, 60, 20).Least() }
	assert.InDelta(t, 20*0.5, least(1), 1e-9, "half the interval of 2 D on a ruler to 2 D")
	assert.InDelta(t, 20*0.59, least(1.18), 1e-9)
	assert.InDelta(t, 20*0.6, least(1.22), 1e-9, "and no larger, or it would hide the lines")
	named := func(room float64) (out []float64) {
		for _, tick := range s.Ticks(room) {
			if tick.Named {
				out = append(out, tick.Power)
			}
		}
		return out
	}
	assert.Equal(t, []float64{-2, -1, 1, 2}, named(49))
	assert.Equal(t, []float64{-2, 2}, named(50))
	step := func(sphere float64) float64 {
		ticks := NewStrip(optics.Sphere(sphere), 0, 200, 0, 60, 20).Ticks(0)
		return ticks[1].Power - ticks[0].Power
	}
	assert.Equal(t, 0.5, step(3.6), "on a ruler to 4 D")
	assert.Equal(t, 1.0, step(3.61), "on a ruler to 5 D")
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

func TestSheetHasRoomForAll(t *testing.T) {
	red := image.NewUniform(color.NRGBA{0xff, 0, 0, 0xff})
	picture := image.NewNRGBA(image.Rect(0, 0, CellWidth, 50))
	for i := range picture.Pix {
		picture.Pix[i] = 0xff
		if i%4 == 1 || i%4 == 2 {
			picture.Pix[i] = 0
		}
	}
	cell := Cell{Title: "One", Pictures: []image.Image{picture, picture}, Text: []string{"A few words that are so many that they do not fit into a single line of a cell."}}
	p := Page{Title: "A page", Cells: []Cell{cell, cell, cell, cell, cell}, Foot: "The end"}
	im := Sheet(p)
	assert.Equal(t, 4*(CellWidth+gutter)+gutter, im.Rect.Dx())
	n := 0
	for y := range im.Rect.Dy() {
		for x := range im.Rect.Dx() {
			if im.At(x, y) == red.C {
				n++
			}
		}
	}
	assert.Equal(t, 10*CellWidth*50, n, "all pictures are there, and none is covered")
	assert.Panics(t, func() {
		Sheet(Page{Cells: []Cell{{Pictures: []image.Image{image.NewGray(image.Rect(0, 0, CellWidth+1, 1))}}}})
	})
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
