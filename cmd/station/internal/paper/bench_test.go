package paper

import (
	"fmt"
	"math"
	"testing"
)

// busy is a screen of 1920 by 1080 with 300 marks, of which 150 are texts.
func busy(hot int) *Scene {
	s := &Scene{}
	s.Reset(1920, 1080, sheet)
	for i := range 75 {
		r := Rect{float64(i%10)*190 + 10, float64(i/10)*130 + 10, 180, 120}
		c := sheet
		if i == hot {
			c = accent
		}
		s.Box(r, 8, c)
		s.Frame(r, 8, 1, ink)
		s.Text(r.X+10, r.Y+30, 18, Bold, fmt.Sprintf("Panel %d", i), ink)
		s.Text(r.X+10, r.Y+60, 15, Regular, "Sphere −2.25, axis 180", ink)
	}
	for i := range 12 { // in place of nothing: a fan and a dial over the panels
		a := float64(i) * math.Pi / 12
		s.Line(960-250*math.Cos(a), 540-250*math.Sin(a), 960+250*math.Cos(a), 540+250*math.Sin(a), 4, ink)
	}
	var p Path
	p.Circle(Point{960, 540}, 300)
	s.Stroke(&p, 3, accent)
	return s
}

func BenchmarkFirstPaint(b *testing.B) {
	s := busy(-1)
	for b.Loop() {
		NewPainter().Paint(s, 1)
	}
}

func BenchmarkFullRepaint(b *testing.B) {
	p, s := NewPainter(), busy(-1)
	p.Paint(s, 1)
	for i := 0; b.Loop(); i++ {
		s.ground.B ^= 1
		p.Paint(s, 1)
	}
}

func BenchmarkSmallDamage(b *testing.B) {
	p := NewPainter()
	scenes := [2]*Scene{busy(33), busy(-1)}
	p.Paint(scenes[0], 1)
	b.ReportAllocs()
	for i := 1; b.Loop(); i++ {
		p.Paint(scenes[i%2], 1)
	}
}

func BenchmarkNothingNew(b *testing.B) {
	p, s := NewPainter(), busy(-1)
	p.Paint(s, 1)
	b.ReportAllocs()
	for b.Loop() {
		p.Paint(s, 1)
	}
}

func BenchmarkPicture(b *testing.B) {
	for _, size := range []int{512, 800, 1024} {
		b.Run(fmt.Sprintf("%dto800", size), func(b *testing.B) {
			p, s, img := NewPainter(), &Scene{}, gradient(size, size)
			for i := 0; b.Loop(); i++ {
				s.Reset(800, 800, sheet)
				s.Picture(Rect{0, 0, 800, 800}, img, uint64(i))
				p.Paint(s, 1)
			}
		})
	}
}

func BenchmarkWidth(b *testing.B) {
	for b.Loop() {
		Width("Is it clearer with one, or with two?", 14, Regular)
	}
}
