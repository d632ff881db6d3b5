package render

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/vector"

	"conoid/sim/optics"
)

// stigmatic is the interval of Sturm, in dioptres, below which a conoid is
// drawn as a point: a quarter of the smallest cylinder of a trial set.
const stigmatic = 0.06

var (
	beamColour  = color.NRGBA{0xd9, 0xdf, 0xe4, 0xff}
	lineColour  = color.NRGBA{0xb3, 0x3a, 0x1e, 0xff}
	rulerColour = color.NRGBA{0x8a, 0x92, 0x9a, 0xff}
)

// Conoid draws where light of a residual (at the cornea, dioptres) is focused:
// both focal lines, the circle of least confusion between them and the retina on
// a ruler in dioptres, light coming from the left. The lines run as the patient
// sees the chart. Retina is what the retina is called.
func Conoid(residual optics.Power, width, height int, retina string) *image.NRGBA {
	c := newConoid(residual, width, height)
	c.beam()
	c.ruler(retina)
	c.foci()
	return c.out
}

type conoid struct {
	out         *image.NRGBA
	face        font.Face
	residual    optics.Power
	front, back optics.FocalLine
	reach       float64 // dioptres from the retina to either edge
	foot, mid   float64 // y of the ruler, and of the axis of the beam
	half        float64 // half the length of a focal line
}

func newConoid(residual optics.Power, width, height int) *conoid {
	c := &conoid{out: image.NewNRGBA(image.Rect(0, 0, width, height)), face: typeOf(textSize - 2), residual: residual}
	draw.Draw(c.out, c.out.Bounds(), image.White, image.Point{}, draw.Src)
	c.front, c.back = residual.FocalLines()
	c.reach = max(2, math.Ceil(max(math.Abs(c.front.Power), math.Abs(c.back.Power))+0.4))
	c.foot = float64(height) - 20
	c.mid = c.foot / 2
	c.half = c.mid - 8
	return c
}

// x is where a vergence lies: more plus is farther to the left, before the
// retina.
func (c *conoid) x(d float64) float64 {
	middle := float64(c.out.Rect.Dx()) / 2
	return middle - d/c.reach*(middle-14)
}

// beam shades how wide the light is in its two meridians, which are narrow at
// the one focal line and at the other.
func (c *conoid) beam() {
	left, right := 0.0, float64(c.out.Rect.Dx())
	slope := c.half / (c.x(-c.reach) - c.x(c.reach)) * 1.4
	for _, l := range []optics.FocalLine{c.front, c.back} {
		x := c.x(l.Power)
		up, down := slope*(x-left), slope*(right-x)
		c.fill(beamColour, [][2]float64{{left, c.mid - up}, {x, c.mid}, {left, c.mid + up}})
		c.fill(beamColour, [][2]float64{{right, c.mid - down}, {x, c.mid}, {right, c.mid + down}})
	}
}

func (c *conoid) ruler(retina string) {
	c.stroke(rulerColour, 1, [2]float64{c.x(c.reach), c.foot}, [2]float64{c.x(-c.reach), c.foot})
	step := max(0.5, math.Ceil(c.reach/4)/2)
	for d := -math.Floor(c.reach/step) * step; d <= c.reach; d += step {
		c.stroke(rulerColour, 1, [2]float64{c.x(d), c.foot - 4}, [2]float64{c.x(d), c.foot})
		if d == math.Round(d) && math.Abs(c.x(d)-c.x(0)) > 36 {
			c.centred(quietColour, c.x(d), strings.ReplaceAll(fmt.Sprintf("%+.0f", d), "-", "−"))
		}
	}
	c.stroke(inkColour, 3, [2]float64{c.x(0), 2}, [2]float64{c.x(0), c.foot})
	c.centred(inkColour, c.x(0), retina)
}

func (c *conoid) foci() {
	interval := c.front.Power - c.back.Power
	if interval < stigmatic {
		c.fill(lineColour, circle(c.x(c.residual.M), c.mid, 5))
		return
	}
	c.ring(quietColour, c.x(c.residual.M), c.mid, max(3, c.half*min(0.6, interval/2/c.reach)), 1.5)
	for _, l := range []optics.FocalLine{c.front, c.back} {
		sin, cos := math.Sincos(optics.PatientAngle(l.Angle) * math.Pi / 180)
		x := c.x(l.Power)
		c.stroke(lineColour, 4, [2]float64{x - c.half*cos, c.mid + c.half*sin}, [2]float64{x + c.half*cos, c.mid - c.half*sin})
	}
}

func (c *conoid) centred(ink color.Color, x float64, text string) {
	w := font.MeasureString(c.face, text).Ceil()
	at := min(max(int(x)-w/2, 0), c.out.Rect.Dx()-w)
	write(c.out, c.face, at, c.out.Rect.Dy()-4, ink, text)
}

// stroke draws a straight line of a width in pixels.
func (c *conoid) stroke(ink color.Color, width float64, a, b [2]float64) {
	dx, dy := b[0]-a[0], b[1]-a[1]
	k := width / 2 / math.Hypot(dx, dy)
	nx, ny := -dy*k, dx*k
	c.fill(ink, [][2]float64{{a[0] + nx, a[1] + ny}, {b[0] + nx, b[1] + ny}, {b[0] - nx, b[1] - ny}, {a[0] - nx, a[1] - ny}})
}

// ring draws a circle with a line of a width in pixels.
func (c *conoid) ring(ink color.Color, x, y, radius, width float64) {
	points := circle(x, y, radius)
	for i, p := range points {
		c.stroke(ink, width, p, points[(i+1)%len(points)])
	}
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

// fill fills a polygon.
func (c *conoid) fill(ink color.Color, points [][2]float64) {
	size := c.out.Rect.Size()
	r := vector.NewRasterizer(size.X, size.Y)
	for i, p := range points {
		if i == 0 {
			r.MoveTo(float32(p[0]), float32(p[1]))
		} else {
			r.LineTo(float32(p[0]), float32(p[1]))
		}
	}
	r.ClosePath()
	r.Draw(c.out, c.out.Rect, image.NewUniform(ink), image.Point{})
}
