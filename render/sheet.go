package render

import (
	"image"
	"image/color"
	"image/draw"

	"golang.org/x/image/font"
)

// Page is a sheet of pictures with their captions.
type Page struct {
	Title string
	Intro string // below the title
	Cells []Cell
	Foot  string // at the end
}

// Cell is one place of a page: pictures below one another, and what is said of
// them.
type Cell struct {
	Title    string
	Pictures []image.Image
	Text     []string // paragraphs
}

// The measures of a page, in pixels.
const (
	CellWidth = 300 // of a cell, and of the widest picture in one
	gutter    = 28
	columns   = 4 // at most
	titleSize = 26
	headSize  = 19
	textSize  = 15
)

var (
	inkColour   = color.NRGBA{0x20, 0x24, 0x28, 0xff}
	quietColour = color.NRGBA{0x58, 0x60, 0x68, 0xff}
	pageColour  = color.NRGBA{0xf6, 0xf5, 0xf1, 0xff}
)

// Sheet draws a page, as high as it needs to be. Pictures wider than CellWidth
// panic.
func Sheet(p Page) *image.NRGBA {
	s := newSetter()
	cols := min(max(len(p.Cells), 1), columns)
	width := cols*(CellWidth+gutter) + gutter
	// Everything is laid out twice: once without paper, to know the height.
	out := image.NewNRGBA(image.Rect(0, 0, width, s.page(nil, p, cols)))
	draw.Draw(out, out.Bounds(), image.NewUniform(pageColour), image.Point{}, draw.Src)
	s.page(out, p, cols)
	return out
}

// setter sets a page. Its methods draw nothing when dst is nil, and give the y
// below what they have set.
type setter struct{ title, head, text font.Face }

func newSetter() setter { return setter{typeOf(titleSize), typeOf(headSize), typeOf(textSize)} }

func (s setter) page(dst *image.NRGBA, p Page, cols int) int {
	wide := cols*(CellWidth+gutter) - gutter
	y := s.para(dst, s.title, gutter, gutter, wide, inkColour, p.Title)
	y = s.para(dst, s.text, gutter, y+4, wide, quietColour, p.Intro) + gutter/2
	for i := 0; i < len(p.Cells); i += cols {
		low := y
		for j, c := range p.Cells[i:min(i+cols, len(p.Cells))] {
			low = max(low, s.cell(dst, gutter+j*(CellWidth+gutter), y, c))
		}
		y = low + gutter
	}
	return s.para(dst, s.text, gutter, y, wide, quietColour, p.Foot) + gutter
}

func (s setter) cell(dst *image.NRGBA, x, y int, c Cell) int {
	y = s.para(dst, s.head, x, y, CellWidth, inkColour, c.Title) + 6
	for _, picture := range c.Pictures {
		size := picture.Bounds().Size()
		if size.X > CellWidth {
			panic("render: a picture is wider than its cell")
		}
		if dst != nil {
			at := image.Pt(x+(CellWidth-size.X)/2, y)
			draw.Draw(dst, image.Rectangle{Min: at, Max: at.Add(size)}, picture, picture.Bounds().Min, draw.Over)
		}
		y += size.Y + 6
	}
	for _, t := range c.Text {
		y = s.para(dst, s.text, x, y+2, CellWidth, inkColour, t)
	}
	return y
}

// para sets a paragraph whose first line begins below y.
func (s setter) para(dst *image.NRGBA, f font.Face, x, y, width int, ink color.Color, text string) int {
	m := f.Metrics()
	for _, line := range lines(f, text, width) {
		if dst != nil {
			write(dst, f, x, y+m.Ascent.Ceil(), ink, line)
		}
		y += m.Height.Ceil() + 2
	}
	return y
}
