package paper

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "make the golden pictures anew")

var (
	sheet  = color.NRGBA{250, 246, 238, 255}
	ink    = color.NRGBA{40, 38, 34, 255}
	accent = color.NRGBA{0, 98, 120, 255}
	veil   = color.NRGBA{200, 60, 30, 110}
)

// everything is a scene with every kind of mark.
func everything() *Scene {
	s := &Scene{}
	s.Reset(480, 360, sheet)
	s.Box(Rect{10, 10, 140, 60}, 0, color.NRGBA{228, 220, 204, 255})
	s.Box(Rect{20, 20, 140, 60}, 12, veil)
	s.Frame(Rect{10, 10, 160, 80}, 12, 1, ink)
	s.Frame(Rect{180, 10, 60, 80}, 30, 4, accent)
	s.Frame(Rect{250.3, 10.4, 60, 80}, 0, 1, ink)
	s.Box(Rect{260, 50, 40, 0.2}, 0, ink) // thin, but there
	for i := range 12 {
		a := float64(i) * math.Pi / 12
		s.Line(400-55*math.Cos(a), 70+55*math.Sin(a), 400+55*math.Cos(a), 70-55*math.Sin(a), 1+float64(i)/4, ink)
	}
	words(s)
	curves(s)
	s.Picture(Rect{330, 140, 96, 96}, gradient(12, 12), 1)
	s.Picture(Rect{430, 140, 40, 40}, gradient(200, 200), 1)
	s.Clip(Rect{330, 250, 100, 40})
	s.Box(Rect{300, 240, 100, 100}, 0, accent)
	s.Clip(Rect{350, 240, 200, 200})
	s.Text(340, 285, 40, Bold, "Clipped", sheet)
	s.Unclip()
	s.Line(330, 289, 480, 289, 2, veil)
	s.Unclip()
	return s
}

// words adds texts of several sizes, turned ones too.
func words(s *Scene) {
	y := 112.0
	for _, size := range []float64{11, 14, 17, 20} {
		s.Text(12, y, size, Regular, "Sphere −2.25, axis 180°", ink)
		y += size * 1.5
	}
	s.Text(12, y, 14, Bold, "Is it clearer with one, or with two?", accent)
	s.Text(12, y+20, 14, Regular, "Größe ½ · naïve café — “quoted” 雪", ink)
	for i := range 8 {
		a := float64(i) * math.Pi / 4
		s.TextTurned(Point{280 + 38*math.Cos(a), 160 - 38*math.Sin(a)}, a, 13, Regular, fmt.Sprint(i*45), ink)
	}
	s.TextTurned(Point{280, 160}, 0, 13, Bold, "level", accent)
}

// curves adds filled and stroked paths: open, closed, crossing, thick and tight.
func curves(s *Scene) {
	var p Path
	p.Circle(Point{50, 310}, 30)
	p.Circle(Point{70, 310}, 30)
	s.Fill(&p, veil)
	p.Reset()
	p.MoveTo(110, 340)
	p.CubeTo(130, 240, 160, 240, 150, 310)
	p.QuadTo(140, 345, 190, 280)
	p.LineTo(120, 280)
	s.Stroke(&p, 7, color.NRGBA{0, 98, 120, 128})
	p.Reset()
	p.Rect(Rect{205, 275, 50, 60}, 0)
	s.Stroke(&p, 6, veil)
	p.Reset()
	p.Circle(Point{230, 305}, 14)
	s.Stroke(&p, 1, ink)
	p.Reset()
	p.Arc(Point{295, 305}, 26, -math.Pi, math.Pi/2)
	s.Stroke(&p, 10, ink)
	p.Reset()
	p.Circle(Point{295, 305}, 3)
	s.Stroke(&p, 10, veil) // wider than the circle: a full disc
	p.Reset()
	p.MoveTo(440, 310)
	p.LineTo(465, 345)
	p.LineTo(441, 316)
	p.LineTo(441, 350)
	s.Stroke(&p, 2.5, ink)
}

// gradient is a picture with a fine chequer in one corner.
func gradient(w, h int) *image.NRGBA {
	img := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.NRGBA{uint8(255 * x / w), uint8(255 * y / h), 90, 255}
			if x < w/3 && y < h/3 && (x+y)%2 == 0 {
				c = color.NRGBA{A: 255}
			}
			img.SetNRGBA(x, y, c)
		}
	}
	return img
}

// The stored pictures were looked at by eye. Two levels of 255 are allowed for processors that round
// a product and a sum together; nothing else may differ.
func TestGolden(t *testing.T) {
	for _, scale := range []float64{1, 2} {
		p := NewPainter()
		p.Paint(everything(), scale)
		name := filepath.Join("testdata", fmt.Sprintf("everything-%g.png", scale))
		if *update {
			var b bytes.Buffer
			require.NoError(t, png.Encode(&b, p.Image()))
			require.NoError(t, os.MkdirAll("testdata", 0o755))
			require.NoError(t, os.WriteFile(name, b.Bytes(), 0o644))
		}
		f, err := os.Open(name)
		require.NoError(t, err)
		defer f.Close()
		want, err := png.Decode(f)
		require.NoError(t, err)
		require.Equal(t, want.Bounds(), p.Image().Bounds())
		worst := 0
		for y := range want.Bounds().Dy() {
			for x := range want.Bounds().Dx() {
				worst = max(worst, apartBy(want.At(x, y), p.Image().At(x, y)))
			}
		}
		require.LessOrEqual(t, worst, 2, "levels of 255 from %s", name)
	}
}

// apartBy is the largest difference of two colours in a channel, in levels of 255.
func apartBy(a, b color.Color) int {
	r, g, bl, al := a.RGBA()
	r2, g2, b2, al2 := b.RGBA()
	d := func(u, v uint32) int { return max(int(u>>8)-int(v>>8), int(v>>8)-int(u>>8)) }
	return max(d(r, r2), d(g, g2), d(bl, b2), d(al, al2))
}
