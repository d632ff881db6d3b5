package paper

import (
	"image"
	"image/color"
	"runtime"
	"slices"
	"testing"
	"weak"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Painting the difference must give the very pixels of painting from nothing.
func TestDamageLeavesNoTrace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		scale := rapid.SampledFrom([]float64{1, 1.25, 2}).Draw(t, "scale")
		items := rapid.SliceOfN(rapid.Custom(drawItem), 0, 12).Draw(t, "items")
		p := NewPainter()
		for range 3 {
			before := slices.Clone(p.Image().Pix)
			box := p.Paint(sceneOf(items), scale)
			fresh := NewPainter()
			fresh.Paint(sceneOf(items), scale)
			if !slices.Equal(fresh.Image().Pix, p.Image().Pix) {
				t.Fatalf("the repainted picture differs from a fresh one")
			}
			if len(before) == len(p.Image().Pix) {
				untouched(t, p, before, box)
			}
			items = edit(t, items)
		}
	})
}

// untouched checks that no pixel changed beyond what Paint said.
func untouched(t *rapid.T, p *Painter, before []uint8, box image.Rectangle) {
	img := p.Image()
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			i := img.PixOffset(x, y)
			if slices.Equal(before[i:i+4], img.Pix[i:i+4]) {
				continue
			}
			at := image.Pt(x, y)
			if !at.In(box) || !slices.ContainsFunc(p.Damages(), func(r image.Rectangle) bool { return at.In(r) }) {
				t.Fatalf("%v changed outside of the damage %v", at, p.Damages())
			}
		}
	}
}

func TestSameSceneNoDamage(t *testing.T) {
	p := NewPainter()
	assert.Equal(t, image.Rect(0, 0, 480, 360), p.Paint(everything(), 1))
	s := everything()
	assert.NotEqual(t, image.Rectangle{}, p.Paint(s, 1), "new pictures, though of the same look")
	assert.True(t, p.Paint(s, 1).Empty())
	assert.Empty(t, p.Damages())
}

func TestDamageIsSmall(t *testing.T) {
	boxes := func(hot int) *Scene {
		s := &Scene{}
		s.Reset(200, 200, sheet)
		for i := range 20 {
			c := ink
			if i == hot {
				c = accent
			}
			s.Box(Rect{float64(i%5) * 40, float64(i/5) * 50, 10, 10}, 0, c)
		}
		return s
	}
	p := NewPainter()
	p.Paint(boxes(0), 1)
	assert.Equal(t, image.Rect(0, 0, 170, 160), p.Paint(boxes(19), 1), "the box around the two that changed")
	assert.ElementsMatch(t, []image.Rectangle{image.Rect(0, 0, 10, 10), image.Rect(160, 150, 170, 160)}, p.Damages())
	s := boxes(19)
	s.marks = append(s.marks[1:], s.marks[0]) // to the top, where it lay alone: still one mark that moved
	assert.Equal(t, image.Rect(0, 0, 10, 10), p.Paint(s, 1))
}

func TestWhatRepaintsAll(t *testing.T) {
	s := &Scene{}
	s.Reset(30, 20, sheet)
	p := NewPainter()
	p.Paint(s, 1)
	require.True(t, p.Paint(s, 1).Empty())
	s.Reset(30, 20, ink)
	assert.Equal(t, image.Rect(0, 0, 30, 20), p.Paint(s, 1), "another ground")
	assert.Equal(t, image.Rect(0, 0, 60, 40), p.Paint(s, 2), "another scale")
	s.Reset(30.2, 20, ink)
	assert.Equal(t, image.Rect(0, 0, 61, 40), p.Paint(s, 2), "another size, part of a pixel more")
	s.Reset(0, -3, ink)
	assert.True(t, p.Paint(s, 2).Empty(), "a window put away")
}

// Each number of a mark alone, when it changes, brings the paper up to date.
func TestEveryChangeIsSeen(t *testing.T) {
	base := item{a: Point{10, 20}, b: Point{40, 44}, c: Point{15, 5}, size: 9, colour: accent, text: "Wolf", clipped: true, clip: Rect{5, 3, 30, 20}}
	changes := map[string]func(i *item){
		"a":      func(i *item) { i.a.X += 3 },
		"b":      func(i *item) { i.b.X += 0.6 },
		"c":      func(i *item) { i.c.Y += 9 },
		"angle":  func(i *item) { i.b.X = -i.b.X }, // the box around a turned text stays
		"size":   func(i *item) { i.size += 4 },
		"colour": func(i *item) { i.colour.G += 40 },
		"text":   func(i *item) { i.text = "Wolg" },
		"weight": func(i *item) { i.text = "Wol" },
		"clip":   func(i *item) { i.clip.X += 8 },
	}
	seen := map[string]int{}
	for kind := KindFill; kind <= KindPicture; kind++ {
		for name, change := range changes {
			one := base
			one.kind = kind
			two := one
			change(&two)
			p, fresh := NewPainter(), NewPainter()
			p.Paint(sceneOf([]item{one}), 1)
			old := slices.Clone(p.Image().Pix)
			p.Paint(sceneOf([]item{two}), 1)
			fresh.Paint(sceneOf([]item{two}), 1)
			assert.True(t, slices.Equal(fresh.Image().Pix, p.Image().Pix), "%s of kind %d", name, kind)
			if !slices.Equal(old, p.Image().Pix) {
				seen[name]++
			}
		}
	}
	for name := range changes {
		assert.NotZero(t, seen[name], "%s changes nothing: the test is idle", name)
	}
	assert.Equal(t, int(KindPicture)+1, seen["clip"])
}

// Shapes kept from one size or scale must not be used at another.
func TestKeptShapesFitTheImage(t *testing.T) {
	circle := func(w float64) *Scene {
		s := &Scene{}
		s.Reset(w, 40, sheet)
		s.clip = Rect{0, 0, 80, 40} // the same mark in each
		var p Path
		p.Circle(Point{30, 20}, 15)
		s.Fill(&p, ink)
		return s
	}
	p := NewPainter()
	for _, c := range []struct{ w, scale float64 }{{30, 1}, {60, 1}, {60, 2}, {60, 1.5}} {
		p.Paint(circle(c.w), c.scale)
		fresh := NewPainter()
		fresh.Paint(circle(c.w), c.scale)
		assert.Equal(t, fresh.Image().Pix, p.Image().Pix, "%v", c)
	}
}

// While a picture is on the paper its pixels are held, so that no other picture can take their
// address and pass for it.
func TestPaintedPictureIsHeld(t *testing.T) {
	p := NewPainter()
	paint := func() weak.Pointer[uint8] {
		img, s := gradient(300, 300), &Scene{}
		s.Reset(40, 40, sheet)
		s.Picture(Rect{5, 5, 20, 20}, img, 1)
		p.Paint(s, 1)
		return weak.Make(&img.Pix[0])
	}
	held := paint()
	runtime.GC()
	assert.NotNil(t, held.Value())
	p.Paint(&Scene{}, 1)
	runtime.GC()
	assert.Nil(t, held.Value(), "and let go with the next scene")
	runtime.KeepAlive(p)
}

func TestPictureIsPaintedAnewByVersion(t *testing.T) {
	img := gradient(10, 10)
	scene := func(version uint64) *Scene {
		s := &Scene{}
		s.Reset(40, 40, sheet)
		s.Picture(Rect{5, 5, 20, 20}, img, version)
		return s
	}
	p := NewPainter()
	p.Paint(scene(1), 1)
	old := p.Image().RGBAAt(10, 10)
	clear(img.Pix)
	assert.True(t, p.Paint(scene(1), 1).Empty())
	assert.Equal(t, old, p.Image().RGBAAt(10, 10))
	assert.Equal(t, image.Rect(5, 5, 25, 25), p.Paint(scene(2), 1))
	assert.Equal(t, color.RGBA{0, 0, 0, 255}, p.Image().RGBAAt(10, 10), "taken as opaque")
}

func TestDamagesStayFew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list, all []image.Rectangle
		for range rapid.IntRange(0, 40).Draw(t, "count") {
			n := rapid.IntRange(0, 50)
			x, y := n.Draw(t, "x"), n.Draw(t, "y")
			r := image.Rect(x, y, x+n.Draw(t, "w"), y+n.Draw(t, "h"))
			list, all = addDamage(list, r), append(all, r)
		}
		if len(list) > maxDamages {
			t.Fatalf("%d damages", len(list))
		}
		for _, r := range all {
			covered := 0
			for y := r.Min.Y; y < r.Max.Y; y++ {
				for x := r.Min.X; x < r.Max.X; x++ {
					if slices.ContainsFunc(list, func(q image.Rectangle) bool { return image.Pt(x, y).In(q) }) {
						covered++
					}
				}
			}
			if covered != area(r) {
				t.Fatalf("%v is not covered by %v", r, list)
			}
		}
	})
}
