package paper

import (
	"image"
	"image/color"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"pgregory.net/rapid"
)

// What the screens write, beyond plain letters.
func TestFontHoldsWhatIsWritten(t *testing.T) {
	for _, r := range "−+±×·°′″½¼¾…–—“”‘’„äöüÄÖÜßéèêàçñåø←→↑↓▲▼●○■□≤≥≈µΔλθ²³\u00a0" {
		assert.True(t, has(r, Regular) && has(r, Bold), "%q", r)
	}
	assert.False(t, has('雪', Regular))
}

// Against the general text drawing of golang.org/x/image/font/opentype: letters of straight lines
// have the same coverage in the same place. (Its curves are coarser than ours, see TestTextIsTrue.)
func TestTextAgainstLibrary(t *testing.T) {
	for w, ttf := range map[Weight][]byte{Regular: goregular.TTF, Bold: gobold.TTF} {
		f, err := opentype.Parse(ttf)
		require.NoError(t, err)
		face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: 18, DPI: 72, Hinting: font.HintingNone})
		require.NoError(t, err)
		for _, r := range "AWk−xZ" {
			want := image.NewRGBA(image.Rect(0, 0, 40, 40))
			for i := range want.Pix {
				want.Pix[i] = 255
			}
			d := font.Drawer{Dst: want, Src: image.Black, Face: face, Dot: fixed.P(10, 28)}
			d.DrawString(string(r))
			got, _ := inked(40, 40, 1, func(s *Scene, k color.NRGBA) { s.Text(10, 28, 18, w, string(r), k) })
			for y := range 40 {
				for x := range 40 {
					require.LessOrEqual(t, apartBy(want.At(x, y), got.Image().At(x, y)), 1, "%q at %d, %d", r, x, y)
				}
			}
			assert.InDelta(t, float64(d.Dot.X-fixed.I(10))/64, Width(string(r), 18, w), 1.0/64)
		}
	}
}

// Each pixel of a small glyph is the mean of the 256 pixels of the glyph painted 16 times as large,
// within the rounding of the outline to 1/64 pixel.
func TestTextIsTrue(t *testing.T) {
	for _, r := range "g8ßÅ½j@" {
		lay := func(s *Scene, k color.NRGBA) { s.Text(10, 28, 18, Regular, string(r), k) }
		small, _ := inked(40, 40, 1, lay)
		large, _ := inked(40, 40, 16, lay)
		for y := range 40 {
			for x := range 40 {
				sum := 0
				for i := range 256 {
					sum += int(large.Image().RGBAAt(16*x+i%16, 16*y+i/16).R)
				}
				require.InDelta(t, float64(sum)/256, small.Image().RGBAAt(x, y).R, 7, "%q at %d, %d", r, x, y)
			}
		}
	}
}

// The ink of every glyph stays within the box by advance and ascent, widened by the overhang.
func TestOverhang(t *testing.T) {
	for _, w := range []Weight{Regular, Bold} {
		face := w.face()
		var buf sfnt.Buffer
		em := fixed.I(2048)
		for i := range face.font.NumGlyphs() {
			b, advance, err := face.font.GlyphBounds(&buf, sfnt.GlyphIndex(i), em, font.HintingNone)
			require.NoError(t, err)
			part := func(v fixed.Int26_6) float64 { return float64(v) / float64(em) }
			assert.Equal(t, part(advance), face.advances[i])
			assert.Less(t, -part(b.Min.X), overhang, "left of glyph %d", i)
			assert.Less(t, part(b.Max.X-advance), overhang, "right of glyph %d", i)
			assert.Less(t, -part(b.Min.Y)-face.ascent, overhang, "above glyph %d", i)
			assert.Less(t, part(b.Max.Y)-face.descent, overhang, "below glyph %d", i)
		}
	}
}

func TestTextTurnsCounterClockwise(t *testing.T) {
	centre := func(text string, angle float64) (left, top float64) { // of the ink
		p, area := inked(100, 100, 1, func(s *Scene, k color.NRGBA) {
			s.TextTurned(Point{50, 50}, angle, 24, Bold, text, k)
		})
		for y := range 100 {
			for x := range 100 {
				v := float64(255-p.Image().RGBAAt(x, y).R) / 255 / area
				left, top = left+v*float64(x), top+v*float64(y)
			}
		}
		return left, top
	}
	x, _ := centre("M   .", 0) // heavy at its start
	assert.Less(t, x, 40.0, "level: the start is to the left")
	_, y := centre("M   .", math.Pi/2)
	assert.Greater(t, y, 60.0, "a quarter turn counter-clockwise: the start is below")
	x, _ = centre("M   .", math.Pi)
	assert.Greater(t, x, 60.0, "half a turn: the start is to the right")
	x, y = centre("L", math.Pi/2)
	assert.Greater(t, x, 50.5, "the foot of the L is to the right: it is not mirrored")
	assert.Greater(t, y, 50.5, "and its stem below")
}

// A text that is hardly turned, drawn as a shape, lies where the level one does, drawn by glyphs.
func TestTurnedTextMeetsLevelText(t *testing.T) {
	area := func(angle float64) float64 {
		_, a := inked(200, 60, 1, func(s *Scene, k color.NRGBA) {
			s.TextTurned(Point{100, 30}, angle, 20, Regular, "Harbour 180", k)
		})
		return a
	}
	assert.InEpsilon(t, area(0), area(1e-4), 0.01)
}

func TestTextIsCentred(t *testing.T) {
	p, _ := inked(100, 100, 4, func(s *Scene, k color.NRGBA) { s.TextTurned(Point{50, 50}, 0.001, 40, Regular, "H", k) })
	r := image.Rectangle{}
	for y := range 400 {
		for x := range 400 {
			if p.Image().RGBAAt(x, y).R < 128 {
				r = r.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	assert.InDelta(t, 200, float64(r.Min.X+r.Max.X)/2, 1.5)
	assert.InDelta(t, 200, float64(r.Min.Y+r.Max.Y)/2, 1.5)
	assert.InDelta(t, 4*CapHeight(40, Regular), r.Dy(), 1.5)
}

func TestHugeText(t *testing.T) {
	area := func(size float64) float64 {
		_, a := inked(400, 400, 1, func(s *Scene, k color.NRGBA) { s.Text(10, 300, size, Bold, "O", k) })
		return a / size / size
	}
	assert.InEpsilon(t, area(largest), area(largest+40), 0.01, "by glyph and as a shape")
}

func TestWidthAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.String().Draw(t, "a"), rapid.String().Draw(t, "b")
		if sum := Width(a, 13, Bold) + Width(b, 13, Bold); math.Abs(sum-Width(a+b, 13, Bold)) > 1e-6 && utf8.ValidString(a+b) {
			t.Fatal("the width of a text is the sum of its parts")
		}
	})
	assert.Greater(t, Width("harbour", 14, Bold), Width("harbour", 14, Regular))
	assert.InDelta(t, 2*Width("harbour", 14, Bold), Width("harbour", 28, Bold), 1e-9)
	assert.InDelta(t, Width("0000", 14, Regular), Width("2571", 14, Regular), 1e-9, "figures line up")
	assert.InDelta(t, Width("+", 14, Regular), Width("−", 14, Regular), 1e-9, "so do the signs")
}

func TestWrap(t *testing.T) {
	line := Width("one two", 12, Regular)
	assert.Equal(t, []string{"one two"}, Wrap("one two", line, 12, Regular), "a label as wide as its text")
	assert.Equal(t, []string{"one", "two"}, Wrap("one two", line-0.1, 12, Regular))
	assert.Equal(t, []string{"one two", "three"}, Wrap("one  two three", line, 12, Regular))
	assert.Equal(t, []string{"one", "", "two"}, Wrap("one\n\ntwo", 500, 12, Regular))
	assert.Equal(t, []string{""}, Wrap("", 50, 12, Regular))
	assert.Equal(t, []string{"a", "−", "b"}, Wrap("a−b", 0, 12, Regular), "one character a line at the least")
	assert.Equal(t, []string{"180\u00a0°", "x"}, Wrap("180\u00a0° x", Width("180\u00a0°", 12, Regular), 12, Regular))
}

func TestWrapKeepsAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOfN(rapid.RuneFrom([]rune("abcW −é \n")), 0, 60, -1).Draw(t, "text")
		width := rapid.Float64Range(-5, 200).Draw(t, "width")
		lines := Wrap(text, width, 14, Regular)
		bare := strings.NewReplacer(" ", "", "\n", "")
		if bare.Replace(strings.Join(lines, "")) != bare.Replace(text) {
			t.Fatalf("%q became %q", text, lines)
		}
		for _, l := range lines {
			if Width(l, 14, Regular) > width && utf8.RuneCountInString(l) > 1 {
				t.Fatalf("%q is wider than %g", l, width)
			}
		}
	})
}

// has reports whether the font can write a character.
func has(r rune, w Weight) bool { return w.face().glyph(r) != 0 }
