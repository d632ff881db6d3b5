package render

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"slices"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/vector"

	"conoid/sim/optics"
)

var (
	beamColour  = color.NRGBA{0xd9, 0xdf, 0xe4, 0xff}
	lineColour  = color.NRGBA{0xb3, 0x3a, 0x1e, 0xff}
	inkColour   = color.NRGBA{0x20, 0x24, 0x28, 0xff}
	quietColour = color.NRGBA{0x58, 0x60, 0x68, 0xff}
	rulerColour = color.NRGBA{0x8a, 0x92, 0x9a, 0xff}
)

// conoidText is the size of the text of a conoid, in its units.
const conoidText = 13

// Conoid draws where light of a residual (at the cornea, dioptres) is focused:
// both focal lines, the circle of least confusion between them and the retina on
// a ruler in dioptres, light coming from the left. The lines run as the patient
// sees the chart. It is drawn in units, scale pixels to each. Retina is what the retina
// is called.
func Conoid(residual optics.Power, width, height int, scale float64, retina string) *image.NRGBA {
	c := newConoid(residual, width, height, scale)
	c.beam()
	c.ruler(retina)
	c.foci()
	return c.out
}

type conoid struct {
	Strip
	out  *image.NRGBA
	face font.Face
	foot float64 // y of the ruler
	unit float64 // pixels
}

func newConoid(residual optics.Power, width, height int, unit float64) *conoid {
	wide, high := float64(width)*unit, float64(height)*unit
	foot := high - 20*unit
	c := &conoid{
		Strip: NewStrip(residual, Box{Left: 14 * unit, Right: wide - 14*unit, Top: 8 * unit, Bottom: foot - 8*unit}),
		out:   image.NewNRGBA(image.Rect(0, 0, int(wide), int(high))), face: typeOf(conoidText * unit), foot: foot, unit: unit,
	}
	draw.Draw(c.out, c.out.Bounds(), image.White, image.Point{}, draw.Src)
	return c
}

// beam shades the light of both meridians, each narrow at its own focal line, as
// far as there is room above the ruler.
func (c *conoid) beam() {
	above := c.out.Rect
	above.Max.Y = int(c.foot)
	room := c.out.SubImage(above).(*image.NRGBA)
	for _, l := range []optics.FocalLine{c.Front, c.Back} {
		up, down := c.Edges(l)
		for _, half := range []int{0, 2} {
			fill(room, c.out.Rect.Size(), beamColour, [][2]float64{up[half], up[1], down[half]})
		}
	}
}

func (c *conoid) ruler(retina string) {
	c.stroke(rulerColour, c.unit, [2]float64{c.X(c.Reach), c.foot}, [2]float64{c.X(-c.Reach), c.foot})
	for _, t := range c.Ticks(36 * c.unit) {
		x := c.X(t.Power)
		c.stroke(rulerColour, c.unit, [2]float64{x, c.foot - 2*c.unit*(1+float64(t.Size))}, [2]float64{x, c.foot})
		if t.Named && t.Size == 2 {
			c.centred(quietColour, x, strings.ReplaceAll(fmt.Sprintf("%+.0f", t.Power), "-", "−"))
		}
	}
	c.stroke(inkColour, 3*c.unit, [2]float64{c.X(0), 2 * c.unit}, [2]float64{c.X(0), c.foot})
	c.centred(inkColour, c.X(0), retina)
}

func (c *conoid) foci() {
	if c.Point() {
		c.fill(lineColour, circle(c.X(c.Residual.M), c.Mid, 5*c.unit))
		return
	}
	c.ring(quietColour, c.X(c.Residual.M), c.Mid, c.Least(), 1.5*c.unit)
	for _, l := range []optics.FocalLine{c.Front, c.Back} {
		from, to := c.Stroke(l)
		c.stroke(lineColour, 4*c.unit, from, to)
	}
}

func (c *conoid) centred(ink color.Color, x float64, text string) {
	w := font.MeasureString(c.face, text).Ceil()
	at := min(max(int(x)-w/2, 0), c.out.Rect.Dx()-w)
	write(c.out, c.face, at, c.out.Rect.Dy()-int(4*c.unit), ink, text)
}

// stroke draws a straight line of a width in pixels.
func (c *conoid) stroke(ink color.Color, width float64, a, b [2]float64) {
	dx, dy := b[0]-a[0], b[1]-a[1]
	k := width / 2 / math.Hypot(dx, dy)
	nx, ny := -dy*k, dx*k
	c.fill(ink, [][2]float64{{a[0] + nx, a[1] + ny}, {b[0] + nx, b[1] + ny}, {b[0] - nx, b[1] - ny}, {a[0] - nx, a[1] - ny}})
}

// ring draws a circle with a line of a width in pixels, as one outline: out, and back
// within.
func (c *conoid) ring(ink color.Color, x, y, radius, width float64) {
	outer, inner := circle(x, y, radius+width/2), circle(x, y, max(0, radius-width/2))
	slices.Reverse(inner)
	points := append(append(outer, outer[0]), inner[len(inner)-1])
	c.fill(ink, append(points, inner...))
}

// circle is a polygon that looks like one.
func circle(x, y, radius float64) [][2]float64 {
	out := make([][2]float64, 72)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(out)))
		out[i] = [2]float64{x + radius*cos, y + radius*sin}
	}
	return out
}

func (c *conoid) fill(ink color.Color, points [][2]float64) {
	fill(c.out, c.out.Rect.Size(), ink, points)
}

// fill fills a polygon in a picture, or a part of it, of which the whole has a size.
func fill(out *image.NRGBA, size image.Point, ink color.Color, points [][2]float64) {
	r := vector.NewRasterizer(size.X, size.Y)
	for i, p := range points {
		if i == 0 {
			r.MoveTo(float32(p[0]), float32(p[1]))
		} else {
			r.LineTo(float32(p[0]), float32(p[1]))
		}
	}
	r.ClosePath()
	r.Draw(out, image.Rectangle{Max: size}, image.NewUniform(ink), image.Point{})
}
