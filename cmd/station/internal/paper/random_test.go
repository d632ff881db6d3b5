package paper

import (
	"image/color"
	"slices"

	"pgregory.net/rapid"
)

// item is a mark of a random scene.
type item struct {
	kind    Kind
	a, b, c Point
	size    float64
	colour  color.NRGBA
	text    string
	clip    Rect
	clipped bool
	version uint64
}

var shared = gradient(9, 7)

func drawItem(t *rapid.T) item {
	at := rapid.Map(rapid.IntRange(-40, 360), func(n int) float64 { return float64(n) / 4 })
	point := func(name string) Point { return Point{at.Draw(t, name), at.Draw(t, name)} }
	return item{
		kind: Kind(rapid.IntRange(0, int(KindPicture)).Draw(t, "kind")),
		a:    point("a"), b: point("b"), c: point("c"),
		size: float64(rapid.IntRange(1, 60).Draw(t, "size")) / 3,
		colour: color.NRGBA{rapid.Byte().Draw(t, "red"), rapid.Byte().Draw(t, "green"), 80,
			rapid.SampledFrom([]uint8{255, 255, 100}).Draw(t, "alpha")},
		text:    rapid.SampledFrom([]string{"j", "Wolf", "ÅÄ g|", "−2.25 雪"}).Draw(t, "text"),
		clipped: rapid.IntRange(0, 3).Draw(t, "clipped") == 0,
		clip:    Rect{at.Draw(t, "clip x"), at.Draw(t, "clip y"), 30, 20},
		version: uint64(rapid.IntRange(0, 1).Draw(t, "version")),
	}
}

// lay puts the item on a scene.
func (i item) lay(s *Scene) {
	if i.clipped {
		s.Clip(i.clip)
		defer s.Unclip()
	}
	r := Rect{i.a.X, i.a.Y, max(0, i.b.X/2), max(0, i.b.Y/2)}
	var p Path
	p.MoveTo(i.a.X, i.a.Y)
	p.QuadTo(i.b.X, i.b.Y, i.c.X, i.c.Y)
	p.LineTo(i.b.X, i.a.Y)
	w := Weight(len(i.text) % 2)
	switch i.kind {
	case KindFill:
		s.Fill(&p, i.colour)
	case KindStroke:
		s.Stroke(&p, i.size/3, i.colour)
	case KindBox:
		s.Box(r, float64(int(i.size)%3)*4, i.colour)
	case KindFrame:
		s.Frame(r, i.size/2, i.size/5, i.colour)
	case KindLine:
		s.Line(i.a.X, i.a.Y, i.b.X, i.b.Y, i.size/4, i.colour)
	case KindText:
		s.Text(i.a.X, i.a.Y, i.size*2, w, i.text, i.colour)
	case KindTextTurned:
		s.TextTurned(i.a, i.b.X, i.size*2, w, i.text, i.colour)
	case KindPicture:
		s.Picture(r, shared, i.version)
	}
}

// edit makes another list of items that shares most of the first.
func edit(t *rapid.T, old []item) []item {
	now := slices.Clone(old)
	for range rapid.IntRange(0, 3).Draw(t, "edits") {
		i := rapid.IntRange(0, len(now)).Draw(t, "place")
		switch what := rapid.IntRange(0, 5).Draw(t, "what"); {
		case what == 0:
			now = slices.Insert(now, i, drawItem(t))
		case i == len(now):
		case what == 1:
			now = slices.Delete(now, i, i+1)
		case what == 2:
			j := rapid.IntRange(0, len(now)-1).Draw(t, "other")
			now[i], now[j] = now[j], now[i]
		case what == 3:
			now[i].clip.X += 5
		case what == 4:
			now[i].b.X += 0.5 // a corner, or the angle of a turned text
		default:
			now[i].colour.B++
		}
	}
	return now
}

func sceneOf(items []item) *Scene {
	s := &Scene{}
	s.Reset(61, 47, sheet)
	for _, i := range items {
		i.lay(s)
	}
	return s
}
