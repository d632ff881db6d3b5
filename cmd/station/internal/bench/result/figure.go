package result

import (
	"image/color"

	"conoid/cmd/station/internal/bench/shape"
	"conoid/cmd/station/internal/paper"
	"conoid/cmd/station/internal/ui"
	"conoid/render/figure"
)

// drawFigure draws a figure in a place of its own shape.
func drawFigure(u *ui.UI, f *figure.Figure, r paper.Rect) {
	t := u.Theme
	k := r.W / f.W
	tones := map[figure.Tone]color.NRGBA{
		figure.Ink: t.Ink, figure.Quiet: t.Quiet, figure.Rule: t.Rule, figure.Accent: t.Act, figure.Second: t.Ink, figure.Warn: t.Warn,
	}
	at := func(p figure.Point) paper.Point { return paper.Point{X: r.X + k*p.X, Y: r.Y + k*p.Y} }
	for _, m := range f.Marks {
		col, p := tones[m.Tone], at(m.Points[0])
		switch m.Kind {
		case figure.Circle:
			shape.Disc(u.Scene(), p, k*m.Size, col)
		case figure.Ring:
			shape.Circle(u.Scene(), p, k*m.Size, m.Width, col)
		case figure.Text:
			size := 12 * u.Text
			x := p.X
			if !m.Start {
				x -= paper.Width(m.Text, size, paper.Regular) / 2
			}
			u.Scene().Text(x, p.Y, size, paper.Regular, m.Text, col)
		case figure.Area:
			u.Scene().Fill(outline(m.Points, at, true), col)
		case figure.Line:
			drawLine(u, m, at, col)
		}
	}
	u.Image(f.Title, f.Alt, r)
}

// drawLine draws a line through points, dashed if it is to be.
func drawLine(u *ui.UI, m figure.Mark, at func(figure.Point) paper.Point, col color.NRGBA) {
	if !m.Dashed {
		u.Scene().Stroke(outline(m.Points, at, false), m.Width, col)
		return
	}
	for i := 1; i < len(m.Points); i++ {
		if p, q := at(m.Points[i-1]), at(m.Points[i]); p != q {
			shape.Dashed(u.Scene(), p, q, col)
		}
	}
}

func outline(points []figure.Point, at func(figure.Point) paper.Point, closed bool) *paper.Path {
	var path paper.Path
	for i, q := range points {
		p := at(q)
		if i == 0 {
			path.MoveTo(p.X, p.Y)
		} else {
			path.LineTo(p.X, p.Y)
		}
	}
	if closed {
		path.Close()
	}
	return &path
}
