package render

import (
	"image"
	"image/color"
	"slices"

	"conoid/sim/chart"
	"conoid/sim/retina"
)

// SharpLinear16 is what Sharp draws, for measuring: 16 bits a pixel in
// proportion to the light of all layers together, as Linear16 writes a retinal
// image of the same grid.
func SharpLinear16(c chart.Drawing, size int, span float64) *image.Gray16 {
	light := make([]float64, size*size)
	for _, layer := range WithLabels(c).Layers {
		for k := range light {
			light[k] += layer.Ground
		}
		for _, s := range layer.Shapes {
			cover(s, size, float64(size)/span, func(k int, share float64) { light[k] += share * s.Value })
		}
	}
	out := image.NewGray16(image.Rect(0, 0, size, size))
	for k, y := range light {
		out.SetGray16(k%size, k/size, color.Gray16{Y: sixteen(y)})
	}
	return out
}

// PSFLinear16 is the spread of a point of light, for measuring: the whole image,
// 16 bits a sample in proportion to the light, 65535 for the brightest.
func PSFLinear16(im *retina.Image) *image.Gray16 {
	peak := slices.Max(im.Y)
	scaled := &retina.Image{Grid: im.Grid, Y: make([]float32, len(im.Y))}
	for k, y := range im.Y {
		scaled.Y[k] = y / peak
	}
	return Linear16(scaled)
}
