package render

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"conoid/assets"
)

// typeOf is the project's font at a height in pixels. It is for one goroutine
// at a time, as font.Face is.
func typeOf(size float64) font.Face {
	f, err := opentype.NewFace(parsedFont(), &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingFull})
	if err != nil {
		panic(fmt.Sprintf("render: the font cannot be set in %g pixels: %v", size, err))
	}
	return f
}

var parsedFont = sync.OnceValue(func() *opentype.Font {
	f, err := opentype.Parse(assets.Font())
	if err != nil {
		panic(fmt.Sprintf("render: the font cannot be read: %v", err))
	}
	return f
})

// write sets a line of text with its baseline at y, beginning at x.
func write(dst draw.Image, f font.Face, x, y int, ink color.Color, text string) {
	d := font.Drawer{Dst: dst, Src: image.NewUniform(ink), Face: f, Dot: fixed.P(x, y)}
	d.DrawString(text)
}

// lines breaks text so that no line is wider than so many pixels, unless a
// single word is.
func lines(f font.Face, text string, width int) (out []string) {
	line := ""
	for _, word := range strings.Fields(text) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && font.MeasureString(f, longer).Ceil() > width {
			out, line = append(out, line), word
			continue
		}
		line = longer
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}
