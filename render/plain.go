package render

import (
	"image"
	"image/draw"

	"golang.org/x/image/vector"

	"conoid/sim/chart"
)

// margin is the share of a plain picture's width that is more than the chart
// needs.
const margin = 1.05

// Plain is the chart as it hangs, labels included and sharp, in a square of
// size pixels.
func Plain(c chart.Drawing, size int) *image.NRGBA {
	return Sharp(c, size, 2*c.Radius*margin)
}

// Sharp is the part of a chart that lies in the square of span minutes of arc
// around its middle, in size x size pixels. The middle of the chart comes to
// lie in the middle of the pixel in column size/2 of row size/2, where it is in
// a retinal image, so that the two can be laid over each other.
func Sharp(c chart.Drawing, size int, span float64) *image.NRGBA {
	if size < 1 || !(span > 0) {
		panic("render: a picture needs at least a pixel and a span above 0")
	}
	light := make([]colour, size*size)
	for _, layer := range WithLabels(c).Layers {
		tint := colourOf(layer.Light)
		for k := range light {
			light[k].add(tint, layer.Ground)
		}
		for _, s := range layer.Shapes {
			cover(s, size, float64(size)/span, func(k int, share float64) {
				light[k].add(tint, share*s.Value)
			})
		}
	}
	return shown(light, size)
}

// cover calls mark for every pixel of a picture that the shape covers, with
// the covered share. Scale is in pixels to the minute of arc.
func cover(s chart.Shape, size int, scale float64, mark func(k int, share float64)) {
	middle := float64(size/2) + 0.5
	pixel := func(p chart.Point) (x, y float32) {
		return float32(middle + scale*p.X), float32(middle - scale*p.Y)
	}
	box := bounds(s, pixel).Intersect(image.Rect(0, 0, size, size))
	if box.Empty() {
		return
	}
	r := vector.NewRasterizer(box.Dx(), box.Dy())
	r.DrawOp = draw.Src
	for _, path := range s.Paths {
		for i, p := range path {
			x, y := pixel(p)
			x, y = x-float32(box.Min.X), y-float32(box.Min.Y)
			if i == 0 {
				r.MoveTo(x, y)
			} else {
				r.LineTo(x, y)
			}
		}
		r.ClosePath()
	}
	mask := image.NewAlpha(image.Rect(0, 0, box.Dx(), box.Dy()))
	r.Draw(mask, mask.Bounds(), image.Opaque, image.Point{})
	for i, a := range mask.Pix {
		if a > 0 {
			mark((box.Min.Y+i/mask.Stride)*size+box.Min.X+i%mask.Stride, float64(a)/255)
		}
	}
}

// bounds is the rectangle of whole pixels around a shape.
func bounds(s chart.Shape, pixel func(chart.Point) (x, y float32)) image.Rectangle {
	var box image.Rectangle
	for _, path := range s.Paths {
		for _, p := range path {
			x, y := pixel(p)
			at := image.Pt(int(x), int(y))
			box = box.Union(image.Rectangle{at.Sub(image.Pt(1, 1)), at.Add(image.Pt(2, 2))})
		}
	}
	return box
}
