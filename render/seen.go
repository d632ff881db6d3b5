package render

import (
	"fmt"
	"image"
	"image/color"

	"conoid/sim/chart"
	"conoid/sim/retina"
)

// SeenLayers is the sum of the retinal images of a chart's layers, each in the
// colour of its light, one pixel a sample. The light is linear up to here and is
// encoded for the display (sRGB) once. It panics unless there is a light for each layer and all
// layers are of one size.
func SeenLayers(layers []*retina.Image, lights []chart.Light) *image.NRGBA {
	if len(layers) == 0 || len(layers) != len(lights) {
		panic(fmt.Sprintf("render: %d layers and %d lights", len(layers), len(lights)))
	}
	n := layers[0].N
	light := make([]colour, n*n)
	for i, layer := range layers {
		if layer.N != n {
			panic(fmt.Sprintf("render: layers of %d and %d samples", n, layer.N))
		}
		c := colourOf(lights[i])
		for k, y := range layer.Y {
			light[k].add(c, float64(y))
		}
	}
	return shown(light, n)
}

// shown encodes a square of light, n x n, for the display.
func shown(light []colour, n int) *image.NRGBA {
	out := image.NewNRGBA(image.Rect(0, 0, n, n))
	for k, c := range light {
		out.SetNRGBA(k%n, k/n, c.display())
	}
	return out
}

// Linear16 is a retinal image for measuring: 16 bits a sample in proportion to
// the light, with 65535 for white paper. Viewers that take it for an ordinary
// picture show it too dark.
func Linear16(im *retina.Image) *image.Gray16 {
	out := image.NewGray16(image.Rect(0, 0, im.N, im.N))
	for k, y := range im.Y {
		out.SetGray16(k%im.N, k/im.N, color.Gray16{Y: sixteen(float64(y))})
	}
	return out
}

// Show is SeenLayers of a square part of the image, drawn over what dst held:
// for pictures that are made anew many times a second. Dst is made larger or
// smaller as the part asks; nil makes a new one.
func Show(dst *image.NRGBA, layers []*retina.Image, lights []chart.Light, part image.Rectangle) *image.NRGBA {
	if len(layers) == 0 || len(layers) != len(lights) {
		panic(fmt.Sprintf("render: %d layers and %d lights", len(layers), len(lights)))
	}
	n := layers[0].N
	part = part.Intersect(image.Rect(0, 0, n, n))
	if dst == nil || dst.Rect.Size() != part.Size() {
		dst = image.NewNRGBA(image.Rectangle{Max: part.Size()})
	}
	grey := len(layers) == 1 && lights[0] == chart.White
	for y := range part.Dy() {
		row := dst.Pix[y*dst.Stride:][:4*part.Dx()]
		from := (part.Min.Y+y)*n + part.Min.X
		for x := range part.Dx() {
			p := row[4*x:][:4]
			if grey {
				v := level(float64(layers[0].Y[from+x]))
				p[0], p[1], p[2], p[3] = v, v, v, 0xff
				continue
			}
			var c colour
			for i, layer := range layers {
				c.add(colourOf(lights[i]), float64(layer.Y[from+x]))
			}
			d := c.display()
			p[0], p[1], p[2], p[3] = d.R, d.G, d.B, 0xff
		}
	}
	return dst
}
