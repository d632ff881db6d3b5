package page

import (
	"bytes"
	"image/png"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
)

// Icon is the sign of the bench as a PNG, so many pixels wide: the lines of a fan, of
// which one is the clearest. A system that cuts icons to its own form leaves a circle of
// four fifths of the width (Web Application Manifest, "maskable"); the fan is within it.
func Icon(size int) []byte {
	t, w := ui.Light(), float64(size)
	var sc paper.Scene
	sc.Reset(w, w, t.Sheet)
	foot := paper.Point{X: w / 2, Y: w * 0.62}
	for degrees := 0.0; degrees <= 180; degrees += 30 {
		from, to := shape.At(foot, w*0.12, degrees), shape.At(foot, w*0.38, degrees)
		width, ink := w*0.03, t.Ink
		if degrees == 120 {
			width, ink = w*0.055, t.Act
		}
		sc.Line(from.X, from.Y, to.X, to.Y, width, ink)
	}
	p := paper.NewPainter()
	p.Paint(&sc, 1)
	var out bytes.Buffer
	if err := png.Encode(&out, p.Image()); err != nil {
		panic("page: " + err.Error()) // into memory
	}
	return out.Bytes()
}
