package paper

import (
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Weight is how heavy the letters are.
type Weight uint8

// The weights there are.
const (
	Regular Weight = iota
	Bold
)

// tabled is the number of code points, from 0, whose glyphs are found by table.
const tabled = 0x2600

// typeface is a font with what laying out needs, read once. Lengths are in parts of the em.
type typeface struct {
	font            *sfnt.Font
	ascent, descent float64
	capHeight       float64
	glyphs          [tabled]sfnt.GlyphIndex
	advances        []float64 // of each glyph
}

// typefaces reads the fonts on first use.
var typefaces = sync.OnceValue(func() [2]*typeface {
	return [2]*typeface{Regular: readTypeface(goregular.TTF), Bold: readTypeface(gobold.TTF)}
})

func (w Weight) face() *typeface { return typefaces()[min(w, Bold)] }

// readTypeface reads a font that is part of the program: it can't fail unless the program is broken.
func readTypeface(ttf []byte) *typeface {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic("paper: " + err.Error())
	}
	var buf sfnt.Buffer
	em := fixed.I(int(f.UnitsPerEm()))
	m, err := f.Metrics(&buf, em, font.HintingNone)
	if err != nil {
		panic("paper: " + err.Error())
	}
	part := func(v fixed.Int26_6) float64 { return float64(v) / float64(em) }
	t := &typeface{font: f, ascent: part(m.Ascent), descent: part(m.Descent), capHeight: part(m.CapHeight)}
	for i := range f.NumGlyphs() {
		a, _ := f.GlyphAdvance(&buf, sfnt.GlyphIndex(i), em, font.HintingNone)
		t.advances = append(t.advances, part(a))
	}
	for r := range t.glyphs {
		t.glyphs[r], _ = f.GlyphIndex(&buf, rune(r))
	}
	return t
}

// glyph is the glyph of a character; 0, the font's box for a missing one, if it has none.
func (t *typeface) glyph(r rune) sfnt.GlyphIndex {
	if r >= 0 && r < tabled {
		return t.glyphs[r]
	}
	g, _ := t.font.GlyphIndex(nil, r)
	return g
}

// Width is the advance width of a text, in the unit of size (logical pixels to the em). It is the
// sum of the widths of its characters, without kerning, just as it is painted.
func Width(text string, size float64, w Weight) float64 {
	t, sum := w.face(), 0.0
	for _, r := range text {
		sum += t.advances[t.glyph(r)]
	}
	return sum * size
}

// Ascent is how far the font reaches above the baseline, in the unit of size.
func Ascent(size float64, w Weight) float64 { return w.face().ascent * size }

// Descent is how far the font reaches below the baseline, a positive number in the unit of size.
func Descent(size float64, w Weight) float64 { return w.face().descent * size }

// CapHeight is the height of the capital letters, in the unit of size.
func CapHeight(size float64, w Weight) float64 { return w.face().capHeight * size }
