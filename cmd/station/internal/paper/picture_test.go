package paper

import (
	"fmt"
	"image"
	"image/color"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/draw"
	"pgregory.net/rapid"
)

// painted paints a picture alone, filling w by h pixels.
func painted(img image.Image, w, h int) *image.RGBA {
	s := &Scene{}
	s.Reset(float64(w), float64(h), sheet)
	s.Picture(Rect{0, 0, float64(w), float64(h)}, img, 0)
	p := NewPainter()
	p.Paint(s, 1)
	return p.Image()
}

func noise(w, h int) *image.RGBA {
	rnd := rand.New(rand.NewPCG(1, uint64(w)))
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = uint8(rnd.IntN(256))
		if i%4 == 3 {
			img.Pix[i] = 255
		}
	}
	return img
}

// Growing, against the linear interpolation of golang.org/x/image/draw. Weights of 1/256 and two
// roundings allow two levels.
func TestGrownPictureAgainstLibrary(t *testing.T) {
	for _, c := range [][4]int{{12, 9, 96, 96}, {31, 17, 40, 23}, {64, 64, 100, 64}, {2, 2, 9, 9}, {1, 5, 7, 9}} {
		src := noise(c[0], c[1])
		want := image.NewRGBA(image.Rect(0, 0, c[2], c[3]))
		draw.BiLinear.Scale(want, want.Rect, src, src.Rect, draw.Src, nil)
		got := painted(src, c[2], c[3])
		for y := range c[3] {
			for x := range c[2] {
				require.LessOrEqual(t, apartBy(want.At(x, y), got.At(x, y)), 2, "%v at %d, %d", c, x, y)
			}
		}
	}
}

// Shrinking, against the mean over the area of the new pixel, computed in floating point.
func TestShrunkPictureIsTheMean(t *testing.T) {
	for _, c := range [][4]int{{60, 40, 20, 10}, {50, 50, 49, 33}, {97, 31, 13, 30}, {300, 7, 1, 1}} {
		src := noise(c[0], c[1])
		got := painted(src, c[2], c[3])
		for y := range c[3] {
			for x := range c[2] {
				want := meanOver(src, float64(c[0])/float64(c[2]), float64(c[1])/float64(c[3]), x, y)
				pix := got.RGBAAt(x, y)
				for i, v := range []uint8{pix.R, pix.G, pix.B} {
					require.InDelta(t, want[i], v, 2.5, "%v at %d, %d", c, x, y)
				}
			}
		}
	}
}

// meanOver is the mean of a picture over the pixel (x, y) of a result that is rx and ry times smaller.
func meanOver(src *image.RGBA, rx, ry float64, x, y int) (mean [3]float64) {
	share := func(i int, r float64, at int) float64 { // how much of the source pixel i is in the pixel
		return max(0, min(float64(i+1), float64(at+1)*r)-max(float64(i), float64(at)*r)) / r
	}
	for v := range src.Rect.Dy() {
		for u := range src.Rect.Dx() {
			w := share(u, rx, x) * share(v, ry, y)
			pix := src.RGBAAt(u, v)
			mean[0] += w * float64(pix.R)
			mean[1] += w * float64(pix.G)
			mean[2] += w * float64(pix.B)
		}
	}
	return mean
}

func TestPictureAtItsOwnSizeIsCopied(t *testing.T) {
	src := noise(23, 19)
	assert.Equal(t, src.Pix, painted(src, 23, 19).Pix)
	part := src.SubImage(image.Rect(5, 6, 15, 10)).(*image.RGBA)
	got := painted(part, 10, 4)
	assert.Equal(t, src.At(5, 6), got.At(0, 0))
	assert.Equal(t, src.At(14, 9), got.At(9, 3))
}

func TestPlainPictureStaysPlain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.IntRange(1, 70)
		src := image.NewNRGBA(image.Rect(0, 0, side.Draw(t, "w"), side.Draw(t, "h")))
		c := color.NRGBA{rapid.Byte().Draw(t, "r"), rapid.Byte().Draw(t, "g"), 255, 255}
		draw.Draw(src, src.Rect, image.NewUniform(c), image.Point{}, draw.Src)
		got := painted(src, side.Draw(t, "W"), side.Draw(t, "H"))
		for i := 0; i < len(got.Pix); i += 4 {
			if got := ([4]uint8)(got.Pix[i:]); got != [4]uint8{c.R, c.G, 255, 255} {
				t.Fatalf("%v became %v", c, got)
			}
		}
	})
}

// A picture that is mirrored or turned fails here.
func TestPictureIsUpright(t *testing.T) {
	src := image.NewRGBA(image.Rect(0, 0, 2, 2))
	src.SetRGBA(1, 0, color.RGBA{255, 0, 0, 255}) // right, above
	src.SetRGBA(0, 1, color.RGBA{0, 255, 0, 255}) // left, below
	for _, n := range []int{2, 20} {
		got := painted(src, n, n)
		assert.Equal(t, color.RGBA{255, 0, 0, 255}, got.RGBAAt(n-1, 0), fmt.Sprint(n))
		assert.Equal(t, color.RGBA{0, 255, 0, 255}, got.RGBAAt(0, n-1), fmt.Sprint(n))
	}
}

func TestPictureOfAnotherKind(t *testing.T) {
	s := &Scene{}
	s.Reset(10, 10, sheet)
	assert.PanicsWithValue(t, "paper: Picture takes an *image.RGBA or an *image.NRGBA", func() {
		s.Picture(Rect{0, 0, 5, 5}, image.NewGray(image.Rect(0, 0, 2, 2)), 0)
	})
	s.Picture(Rect{0, 0, 5, 5}, image.NewRGBA(image.Rectangle{}), 0)
	assert.Empty(t, s.Marks())
}
