package render

import (
	"image"
	"image/color"
	"math"
	"slices"
	"strconv"

	"golang.org/x/image/draw"

	"conoid/sim/chart"
	"conoid/sim/retina"
)

// spreadSize is the side of the picture of a point spread, in pixels.
const spreadSize = 512

// PSF shows the spread of a point of light, white on black: the middle of the
// image, wide enough for almost all of the light, 512 pixels across, with a bar
// for scale. Shades stand for the square root of the light, the brightest for
// its peak, so that faint tails are seen beside a sharp middle; they are not
// for measuring. The image of a nearly sharp eye wants a finer grid than
// retina.Standard.
func PSF(im *retina.Image) *image.Gray {
	half := spreadHalf(im)
	crop := image.Rect(im.N/2-half, im.N/2-half, im.N/2+half, im.N/2+half)
	out := image.NewGray(image.Rect(0, 0, spreadSize, spreadSize))
	draw.CatmullRom.Scale(out, out.Bounds(), roots(im), crop, draw.Src, nil)
	addScale(out, 2*float64(half)*im.Pitch)
	return out
}

// roots is the square root of an image's light, with its peak for white.
func roots(im *retina.Image) *image.Gray16 {
	peak := float64(slices.Max(im.Y))
	out := image.NewGray16(image.Rect(0, 0, im.N, im.N))
	for k, y := range im.Y {
		root := math.Sqrt(max(0, float64(y)/peak))
		out.SetGray16(k%im.N, k/im.N, color.Gray16{Y: sixteen(root)})
	}
	return out
}

// spreadHalf is half the side, in samples, of the square around the middle
// that is worth showing: twice the one that holds 95 % of the light.
func spreadHalf(im *retina.Image) int {
	rings := make([]float64, im.N/2+1) // light by distance from the middle, the larger of x and y
	var total float64
	for k, y := range im.Y {
		dx, dy := k%im.N-im.N/2, k/im.N-im.N/2
		rings[max(dx, -dx, dy, -dy)] += float64(y)
		total += float64(y)
	}
	most, sum := 0, rings[0]
	for most < im.N/2 && sum < 0.95*total {
		most++
		sum += rings[most]
	}
	return min(max(2*most, 8), im.N/2)
}

// addScale draws a bar of a round length, its length above it in minutes of
// arc.
func addScale(out *image.Gray, span float64) {
	scale := spreadSize / span
	length := 1.0
	for _, l := range []float64{2, 5, 10, 20, 50} {
		if l <= span/4 {
			length = l
		}
	}
	// Places are in pixels from the middle, y up.
	left, foot := float64(24-spreadSize/2), float64(24-spreadSize/2)
	right := left + length*scale
	bar := chart.Shape{Paths: [][]chart.Point{{{X: left, Y: foot}, {X: right, Y: foot}, {X: right, Y: foot + 3}, {X: left, Y: foot + 3}}}}
	text := chart.Label{At: chart.Point{X: (left + right) / 2, Y: foot + 18}, Size: 14, Text: strconv.Itoa(int(length)) + "′"}
	for _, s := range []chart.Shape{bar, lettering(text, 1)} {
		cover(s, spreadSize, 1, func(k int, share float64) {
			x, y := k%spreadSize, k/spreadSize
			under := float64(out.GrayAt(x, y).Y)
			out.SetGray(x, y, color.Gray{Y: uint8(math.Round(under + share*(255-under)))})
		})
	}
}
